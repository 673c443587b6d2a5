// Pairs this device.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Pair" />
      <p>This page is not built yet.</p>
    </div>
  );
}
