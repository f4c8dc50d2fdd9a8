import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { openDialogs } from '../../src/dialog/dialog-steps.ts';
import type { Flow } from '../../src/dialog/flow.ts';
import type { LineState, SavedDialog } from '../../src/dialog/line.ts';
import { asked, content, conversation, monday, day, place, said } from './conversation.ts';

const flows = [...content.dialogs.flows.values()];

/** The state with its dialog as older flows would have left it. */
function leftBy(state: LineState, change: (dialog: SavedDialog) => SavedDialog): LineState {
  if (state.dialog === null) throw new Error('nothing is being asked');
  return { ...state, dialog: change(state.dialog) };
}

describe('a dialog saved under older flows', () => {
  it('goes on at the same step where that still exists, with all she answered', () => {
    const talk = asked();
    talk.text('feeds 9 wet 6');
    const later = conversation(
      leftBy(talk.state, (d) => ({ ...d, flows: 'older' })),
      monday + day,
    );
    expect(later.text('3 4')).toBe(said('ask.check-in.body.ask'));
  });

  it('begins its flow again with a short apology where the step is gone', () => {
    const talk = asked();
    const state = leftBy(talk.state, (d) => ({
      ...d,
      flows: 'older',
      value: { talk: { 'check-in': 'gone' } },
    }));
    const later = conversation(state, monday + day);
    const reply = later.text('hmm');
    expect(reply).toContain(said('dialog.restarted'));
    expect(place(later.state)).toBe('check-in/counts');
    expect(later.text('9 3 6 4')).toBe(said('ask.check-in.body.ask'));
  });

  it('is let go with an apology where the flow is gone, and the next text is answered', () => {
    const talk = asked();
    const state = leftBy(talk.state, (d) => ({ ...d, flows: 'older', value: { talk: { gone: 'away' } } }));
    const later = conversation(state, monday + day);
    expect(later.text('9 3 6 4')).not.toBe('');
    expect(later.text('9 3 6 4')).not.toBe('');
  });

  it('never throws and never strands her, whatever is in it', () => {
    const talk = asked();
    talk.text('LANGUAGE');
    const json = fc.jsonValue({ maxDepth: 3 });
    const garbage = fc.record({
      flows: fc.constantFrom('older', ''),
      value: fc.oneof(
        json,
        fc.constantFrom(talk.state.dialog?.value, 'quiet', { talk: { 'check-in': 'over' } }),
      ),
      context: fc.oneof(json, fc.constant(talk.state.dialog?.context)),
      history: fc.oneof(
        fc.dictionary(fc.string(), fc.array(fc.string())),
        fc.constant(talk.state.dialog?.history ?? {}),
        fc.constant({ 'talk.hist': ['line.talk.gone'] }),
      ),
      touchedAt: fc.constant(monday),
    });
    fc.assert(
      fc.property(garbage, (dialog) => {
        const state: LineState = { ...talk.state, dialog: dialog as SavedDialog };
        const later = conversation(state, monday + day);
        // Within a few texts of any kind she has been answered and can check in.
        for (const body of ['hmm', '9 3 6 4', 'hmm', 'hmm', 'hmm', 'BACK', 'HELP']) later.text(body);
        expect(later.text('my baby has a fit')).toContain('112');
        expect(later.text('STOP')).toContain('START');
      }),
      { numRuns: 150 },
    );
  });

  it('is read by flows that lost a step as by those that never had it', () => {
    const fewer = flows.map(
      (flow): Flow =>
        flow.flow === 'check-in' ? { ...flow, steps: flow.steps.filter((s) => s.id !== 'counts') } : flow,
    );
    const now = openDialogs(fewer);
    const before = asked().state.dialog;
    const standing = now.standing(before);
    if (standing.kind === 'quiet') throw new Error('she is stranded');
    expect(standing.flow.flow).toBe('check-in');
    expect(standing.step.ask).toBeDefined();
  });
});
