// The kit that a shop knows.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Catalogue" />
      <p>This page is not built yet.</p>
    </div>
  );
}
