// What stands where an answer is still to come: nothing at first, then words.

import { useEffect, useState } from 'preact/hooks';

/** Words only after a moment: a wait that nobody notices should not flicker. */
export function Waiting({ for: what }: { for: string }) {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), 150);
    return () => clearTimeout(timer);
  }, []);
  return (
    <p class="waiting soft" role="status">
      {late ? `Getting ${what} …` : ''}
    </p>
  );
}
