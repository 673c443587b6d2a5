// Whether drawing and list have to share one column: the width at which the frame's moments become a select.

import { useEffect, useState } from 'preact/hooks';

const QUERY = '(max-width: 60rem)';

export function useNarrow(): boolean {
  const [narrow, setNarrow] = useState(() => matchMedia(QUERY).matches);
  useEffect(() => {
    const media = matchMedia(QUERY);
    const update = () => setNarrow(media.matches);
    update();
    media.addEventListener('change', update);
    return () => media.removeEventListener('change', update);
  }, []);
  return narrow;
}
