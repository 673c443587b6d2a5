// Then and now.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Return" />
      <p>This page is not built yet.</p>
    </div>
  );
}
