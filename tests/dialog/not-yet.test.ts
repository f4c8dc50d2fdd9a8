import { describe, expect, it } from 'vitest';
import { enrolled, hour, said } from './conversation.ts';

/** Asked whether she reached care, two hours after a danger. */
function followedUp() {
  const talk = enrolled();
  talk.text('baby has fits');
  const asked = talk.wait(3 * hour);
  expect(asked.join()).toContain(said('ask.follow-up.reached.ask'));
  return talk;
}

describe('whether she reached care', () => {
  it.each(['not yet', 'Not yet.', 'no', 'not yet, no bus'])('is read as not from "%s"', (words) => {
    const talk = followedUp();
    talk.text(words);
    const note = talk.journal.filter((j) => j.kind === 'follow-up').at(-1);
    expect(note?.body).toMatchObject({ reached: 2 });
  });

  it.each(['not better', 'she is not well'])('is never taken for all well from "%s"', (words) => {
    const talk = followedUp();
    talk.text(words);
    for (const note of talk.journal.filter((j) => j.kind === 'follow-up'))
      expect(note.body).not.toMatchObject({ reached: 3 });
  });
});
