import { type AnyMachineSnapshot, initialTransition, type StateNode, transition } from 'xstate';
import { describe, expect, it } from 'vitest';
import type { DialogContext, Facts } from '../../src/dialog/dialog-context.ts';
import { openDialogs } from '../../src/dialog/dialog-steps.ts';
import { factsOf } from '../../src/dialog/moves.ts';
import { type MachineAction, openStepping } from '../../src/dialog/stepping.ts';
import { content, enrolled } from './conversation.ts';
import { eventsAt, walk } from './dialog-walk.ts';

/** What a step gives, without what is of XState alone. */
function told(snapshot: AnyMachineSnapshot, actions: readonly { readonly type: string }[]) {
  const history = snapshot.historyValue as Readonly<Record<string, readonly StateNode[]>>;
  return {
    value: snapshot.value as unknown,
    context: snapshot.context as unknown,
    status: snapshot.status,
    history: Object.entries(history).map(([id, nodes]) => [id, nodes.map((n) => n.id)]),
    nodes: (snapshot as unknown as { readonly _nodes: readonly StateNode[] })._nodes.map((n) => n.id).sort(),
    actions: actions.map((a) => [a.type, (a as MachineAction).params]),
  };
}

describe('a step with the actor and the places kept', () => {
  it('gives what XState gives by its public functions, at every place and for every event', () => {
    const { dialogs } = content;
    const { machine } = dialogs;
    const stepping = openStepping(machine);
    const facts: Facts = {
      ...factsOf(enrolled().last.draft),
      languageCount: 4,
      motherCount: 2,
      weighingDue: true,
      talkDue: true,
    };
    const [initial] = initialTransition(machine);
    let compared = 0;
    for (const { state } of walk(dialogs, facts)) {
      const { at } = state;
      for (const event of eventsAt(dialogs, dialogs.standing(at), facts)) {
        const historyValue = Object.fromEntries(
          Object.entries(at?.history ?? {}).map(([id, nodes]) => [
            id,
            nodes.map((n) => machine.getStateNodeById(n)),
          ]),
        );
        const from =
          at === null
            ? initial
            : machine.resolveState({ value: at.value, context: at.context, historyValue } as never);
        const mine =
          at === null ? stepping.initial : stepping.at(at.value, at.context as DialogContext, at.history);
        const [next, actions] = transition(machine, from as never, event as never);
        const before = JSON.stringify(at);
        const [mineNext, mineActions] = stepping.step(mine, event);
        expect(told(mineNext, mineActions)).toEqual(told(next as AnyMachineSnapshot, actions));
        expect(JSON.stringify(at)).toBe(before);
        compared += 1;
      }
    }
    expect(compared).toBeGreaterThan(1_000);
  }, 120_000);

  it('opens a flow for one mother as for every other, and as if it were opened for the first time', () => {
    const { dialogs } = content;
    const facts = factsOf(enrolled().last.draft);
    const everybody: readonly Facts[] = [
      facts,
      { ...facts, mother: undefined, onCall: true },
      { ...facts, languageCount: 1, motherCount: 3, weighingDue: true, talkDue: true },
    ];
    for (const flow of dialogs.flows.keys()) {
      for (const [i, of] of everybody.entries()) {
        const event = { type: `OPEN.${flow}` as const, facts: of };
        const first = openDialogs([...dialogs.flows.values()]).step(null, event, i);
        expect(dialogs.step(null, event, i)).toEqual(first);
        expect(dialogs.step(null, event, i)).toEqual(first);
      }
    }
  }, 60_000);

  it('is not disturbed by a step that fails', () => {
    const { dialogs } = content;
    const stepping = openStepping(dialogs.machine);
    const event = { type: 'OPEN.check-in', facts: factsOf(enrolled().last.draft) } as const;
    const expected = told(...stepping.step(stepping.initial, event));
    const broken = {
      type: 'ANSWER',
      get read(): never {
        throw new Error('broken');
      },
      doubt: null,
    } as never;
    const [asking] = stepping.step(stepping.initial, event);
    expect(() => stepping.step(asking, broken)).toThrow('broken');
    expect(told(...stepping.step(stepping.initial, event))).toEqual(expected);
  });
});
