// What goes into the van.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Load" />
      <p>This page is not built yet.</p>
    </div>
  );
}
