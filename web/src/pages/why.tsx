// A finding's manual.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Why" />
      <p>This page is not built yet.</p>
    </div>
  );
}
