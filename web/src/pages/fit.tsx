// What fits.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Fit" />
      <p>This page is not built yet.</p>
    </div>
  );
}
