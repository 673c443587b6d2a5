// All jobs.

import { Title } from '../parts/Title';

export function Page() {
  return (
    <div class="page">
      <Title page="Jobs" />
      <p>This page is not built yet.</p>
    </div>
  );
}
