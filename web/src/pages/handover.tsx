// What stays in the house.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Hand over" />
      <p>This page is not built yet.</p>
    </div>
  );
}
