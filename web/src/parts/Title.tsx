// A page's heading: names the document, and takes the focus when the reader came by a link.

import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

import { useUrl } from '../location';

type Props = {
  /** The page's own name, first in the document's title. */
  page: string;
  /** The job, where there is one. */
  of?: string | undefined;
  children?: ComponentChildren;
};

let firstPath: string | null = location.pathname;

export function Title({ page, of, children }: Props) {
  const heading = useRef<HTMLHeadingElement>(null);
  const { pathname } = useUrl();
  useEffect(() => {
    document.title = [page, of, 'dryfit'].filter(Boolean).join(' · ');
  }, [page, of]);
  useEffect(() => {
    // The page that was opened first leaves the focus to the browser.
    if (firstPath !== pathname) heading.current?.focus();
    firstPath = null;
  }, [pathname]);
  return (
    <h1 ref={heading} tabIndex={-1}>
      {children ?? page}
    </h1>
  );
}
