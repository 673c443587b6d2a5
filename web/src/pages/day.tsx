// The day's cables and holes.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Day" />
      <p>This page is not built yet.</p>
    </div>
  );
}
