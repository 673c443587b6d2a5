import { expect, test } from 'vitest';

import { Live } from '../../src/fit/live';

type Question = {
  position: number;
  seq: number;
  signal: AbortSignal;
  answer: (text: string | null) => void;
  fail: (error: Error) => void;
};

function asked() {
  const questions: Question[] = [];
  const answers: string[] = [];
  const failures: unknown[] = [];
  const live = new Live<number, string>(
    (position, seq, signal) =>
      new Promise((answer, fail) => {
        questions.push({ position, seq, signal, answer, fail });
      }),
    (answer, position) => answers.push(`${position}: ${answer}`),
    (error) => failures.push(error),
  );
  return { live, questions, answers, failures };
}

const settled = () => new Promise((resolve) => setTimeout(resolve, 0));

test('one question is under way, and the next carries the newest position', async () => {
  const { live, questions, answers } = asked();
  for (const position of [1, 2, 3, 4]) live.offer(position);
  expect(questions.map(({ position }) => position)).toEqual([1]);
  questions[0]?.answer('fits');
  await settled();
  expect(questions.map(({ position }) => position)).toEqual([1, 4]);
  questions[1]?.answer('fails');
  await settled();
  expect(questions).toHaveLength(2);
  expect(answers).toEqual(['1: fits', '4: fails']);
});

test('an answer that comes after the stop is dropped, and its request given up', async () => {
  const { live, questions, answers } = asked();
  live.offer(1);
  live.stop();
  expect(questions[0]?.signal.aborted).toBe(true);
  questions[0]?.answer('late');
  await settled();
  expect(answers).toEqual([]);
  live.offer(2);
  questions[1]?.answer('fits');
  await settled();
  expect(answers).toEqual(['2: fits']);
});

test('a question that was overtaken has no answer, and a failure does not end the asking', async () => {
  const { live, questions, answers, failures } = asked();
  live.offer(1);
  questions[0]?.answer(null);
  await settled();
  live.offer(2);
  questions[1]?.fail(new Error('no network'));
  await settled();
  live.offer(3);
  questions[2]?.answer('fits');
  await settled();
  expect(answers).toEqual(['3: fits']);
  expect(failures).toHaveLength(1);
});

test('numbers count up', () => {
  const one = asked();
  one.live.offer(1);
  const two = asked();
  two.live.offer(1);
  expect(two.questions[0]?.seq).toBeGreaterThan(one.questions[0]?.seq ?? Infinity);
});
