// What belongs to no room: who it is for, where it stands, its mains, what plays where, its cables and the crew's rates.

import { Fragment } from 'preact';

import { catalogue } from '../api/client';
import type { Wiring } from '../api/schema';
import '../fit/fit.css';
import { Conduits } from '../house/Conduits';
import { Facts } from '../house/Facts';
import { Limits } from '../house/Limits';
import { List, type Part } from '../house/List';
import { Ports } from '../house/Ports';
import { shapesOf } from '../house/shapes';
import { useJob } from '../job';
import { Strip } from '../parts/Strip';
import { Title } from '../parts/Title';
import { Waiting } from '../parts/Waiting';
import { link } from '../routes';
import '../walk/walk.css';
import { useResource } from '../useResource';
import { Addresses, Buttons } from '../wiring/Buttons';
import { Circuits } from '../wiring/Circuits';
import { CutOuts } from '../wiring/CutOuts';
import { Racks } from '../wiring/Racks';
import { SignalLines } from '../wiring/SignalLines';
import { useWiring } from '../wiring/useWiring';

const PARTS: readonly Part[] = [
  {
    path: 'circuit',
    heading: 'Mains circuits',
    one: 'circuit',
    empty: 'No circuit is noted, so nothing can be said of its load. A licensed electrician judges the mains.',
  },
  {
    path: 'zone',
    heading: 'Zones',
    one: 'zone',
    empty: 'No zone yet: loudspeakers that play one thing, and the seats that they play to.',
  },
  {
    path: 'cable',
    heading: 'Cables',
    one: 'cable',
    empty: 'No cable yet, so neither lengths nor losses are proved.',
  },
  {
    path: 'pathway',
    heading: 'Conduits, chases and closets',
    one: 'pathway',
    empty: 'None is noted, so cables keep to walls, floors and ceilings.',
  },
  { path: 'spool', heading: 'Cable in stock', one: 'spool', empty: 'No spool is noted: all cable is to order.' },
  {
    path: 'signal',
    heading: 'Ways of picture and sound',
    one: 'signal',
    empty: 'No way yet from a source to a picture, so no link is proved.',
  },
  {
    path: 'activity',
    heading: 'What each button starts',
    one: 'activity',
    empty: 'No activity yet: watch a film, listen on the terrace. Each becomes a list of what is switched on and set to what.',
  },
];

const ALONE = [
  { path: 'job', heading: 'The job', label: 'Job' },
  { path: 'site', heading: 'Where the house is', label: 'Site' },
  { path: 'rates', heading: 'What the crew’s time costs', label: 'Rates' },
];

/** Counted by the program. */
const LEFT_OUT = ['revision'];

export function Page() {
  const { id, view } = useJob();
  const schema = useResource('schema', catalogue.schema);
  const wired = useWiring();
  const shapes = (part: string) =>
    shapesOf(schema.data, view.document, part).filter(({ path }) => !LEFT_OUT.includes(path));
  return (
    <div class="page house">
      <Title page="House" of={view.name} />
      <p class="soft">
        What belongs to no room. Rooms are measured in the <a href={link('walk', { id })}>walk</a>, kit is put into
        them in <a href={link('fit', { id })}>Fit</a>.
      </p>
      {schema.trouble ? <Strip trouble={schema.trouble} onAgain={schema.reload} /> : null}
      {wired.trouble ? <Strip trouble={wired.trouble} onAgain={wired.reload} /> : null}
      {schema.data === null && !schema.trouble ? <Waiting for="what a house may say" /> : null}
      {schema.data ? (
        <>
          {PARTS.map((part) => (
            <Fragment key={part.path}>
              {part.path === 'cable' ? <Ports schema={schema.data} /> : null}
              <List part={part} shapes={shapes(part.path)} />
              {part.path === 'pathway' ? <Conduits /> : null}
              {wired.data ? <Drawn path={part.path} wiring={wired.data} /> : null}
            </Fragment>
          ))}
          {ALONE.map(({ path, heading, label }) => (
            <section key={path} class="house-part" aria-label={heading}>
              <h2>{heading}</h2>
              <Facts path={path} label={label} shapes={shapes(path)} />
            </section>
          ))}
          <Limits />
        </>
      ) : null}
    </div>
  );
}

/** What the facts of a part come to, below them. */
function Drawn({ path, wiring }: { path: string; wiring: Wiring }) {
  switch (path) {
    case 'circuit':
      return (
        <>
          <Circuits circuits={wiring.circuits} />
          <Racks racks={wiring.racks} />
        </>
      );
    case 'pathway':
      return <CutOuts cutOuts={wiring.cut_outs} />;
    case 'signal':
      return <SignalLines diagram={wiring.diagram} />;
    case 'activity':
      return (
        <>
          <Buttons buttons={wiring.buttons} />
          <Addresses network={wiring.network} />
        </>
      );
    default:
      return null;
  }
}
