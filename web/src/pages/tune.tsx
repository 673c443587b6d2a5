// What to expect of the sound.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Tune" />
      <p>This page is not built yet.</p>
    </div>
  );
}
