// Sheets.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Sheets" />
      <p>This page is not built yet.</p>
    </div>
  );
}
