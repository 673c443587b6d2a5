// Who else may see and change jobs.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Sharing" />
      <p>This page is not built yet.</p>
    </div>
  );
}
