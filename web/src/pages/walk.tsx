// The walk-through.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Walk" />
      <p>This page is not built yet.</p>
    </div>
  );
}
