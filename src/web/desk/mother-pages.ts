import { createHash, randomUUID } from 'node:crypto';
import type express from 'express';
import { z } from 'zod';
import { areaOf, areasKnown, maySee, worksIn } from '../../counsel/area.ts';
import { comingUp } from '../../counsel/coming-up.ts';
import { isCounsellorRecord } from '../../counsel/counsellor-record.ts';
import { worldOf } from '../../counsel/read-coming-up.ts';
import type { CounsellorCommand } from '../../dialog/event.ts';
import { type LineId, type LineState, outcomes } from '../../dialog/line.ts';
import type { Accounts, AuditAction } from '../../counsel/accounts.ts';
import { longestMessage, longestNote } from './alert-part.ts';
import { birthForm, birthOf } from './birth-part.ts';
import { readConversation } from './conversation.ts';
import type { DeskParts } from './desk-parts.ts';
import type { DeskPages } from './desk-pages.ts';
import { type DoneNotice, doneNotices, motherPage } from './mother-page.ts';
import type { SignedIn } from './reading.ts';
import { rhythmForm, wishOf } from './rhythm-part.ts';

const saidShown = 12;
const saidShownAll = 400;

const common = { proof: z.string(), code: z.string().regex(/^\d{4}$/) };
const note = z.string().trim().max(longestNote);
const forms = {
  take: z.strictObject(common),
  note: z.strictObject({ ...common, note: note.min(1) }),
  close: z.strictObject({ ...common, outcome: z.enum(outcomes), note }),
  open: z.strictObject(common),
  'hand-over': z.strictObject({ ...common, to: z.string().regex(/^[a-z][a-z0-9-]*$/) }),
  write: z.strictObject({ ...common, words: z.string().trim().min(1).max(longestMessage) }),
};
const placeForm = z.strictObject({ proof: z.string(), area: z.string().max(60) });

/** A mother's page, and what a counsellor does there. Each is written down before it is shown or done. */
export function addMotherPages(desk: DeskParts, accounts: Accounts, pages: DeskPages): void {
  const { store } = desk;

  /** The line that a path names; undefined for what is no mother's, however it is not, and for a mother who is not hers to see. */
  const lineAt = async ({ counsellor }: SignedIn, request: express.Request) => {
    const { line = '', index = '' } = request.params as Readonly<Record<string, string | undefined>>;
    if (!/^[\w-]{10,64}$/.test(line) || !/^[0-3]$/.test(index)) return undefined;
    const lineId = line as LineId;
    const stored = await store.load(lineId);
    if (stored === undefined || isCounsellorRecord(stored.state)) return undefined;
    const state = JSON.parse(stored.state) as LineState;
    const at = Number(index);
    if (!maySee(counsellor, state, pages.now())) {
      await accounts.log(counsellor.id, { action: 'not-hers', object: lineId });
      return undefined;
    }
    return at === 0 || at < state.mothers.length
      ? { lineId, index: at, version: stored.version, state }
      : undefined;
  };

  pages.page('/mother/:line/:index', 'elsewhere', async (who, request) => {
    const found = await lineAt(who, request);
    if (found === undefined) return undefined;
    await accounts.log(who.counsellor.id, { action: 'viewed', object: `${found.lineId}/${found.index}` });
    const all = request.query['all'] === 'yes';
    const conversation = await readConversation(store, found.lineId, all ? saidShownAll : saidShown);
    const done = doneNotices.find((notice) => notice === request.query['done']);
    const coming = comingUp(found.state, worldOf(found.state, pages.now()));
    return motherPage({ ...found, conversation, coming }, who, pages.now(), done);
  });

  const act = <Form extends { readonly proof: string; readonly code: string }>(
    name: keyof typeof forms,
    schema: z.ZodType<Form>,
    action: AuditAction,
    commandOf: (form: Form, who: SignedIn, state: LineState) => CounsellorCommand | undefined,
  ) =>
    pages.form(`/mother/:line/:index/${name}`, schema, async (who, form, request, response) => {
      const found = await lineAt(who, request);
      if (found === undefined) {
        await pages.nothingHere(who, request, response);
        return;
      }
      const { lineId, index } = found;
      const back = (done: DoneNotice) =>
        response.redirect(303, `/desk/mother/${lineId}/${index}?done=${done}`);
      // The code is looked for on this line alone: one of another mother's is as good as none.
      if (!found.state.alerts.some((a) => a.code === form.code)) {
        back('no-alert');
        return;
      }
      const command = commandOf(form, who, found.state);
      if (command === undefined) {
        await pages.nothingHere(who, request, response);
        return;
      }
      await accounts.log(who.counsellor.id, { action, object: form.code });
      await desk.line.tell(lineId, {
        kind: 'counsellor',
        id: eventId(who, form),
        by: who.counsellor.id,
        command,
      });
      back(await outcomeOf(lineId, who, command));
    });

  /** What became of it, read from the line as it is now: another counsellor may have been first. */
  const outcomeOf = async (
    lineId: LineId,
    who: SignedIn,
    command: CounsellorCommand,
  ): Promise<DoneNotice> => {
    const stored = await store.load(lineId);
    if (stored === undefined) return 'no-alert';
    const { alerts, lastSaid } = JSON.parse(stored.state) as LineState;
    const alert = alerts.find((a) => a.code === command.code);
    if (alert === undefined) return 'no-alert';
    const isHers = alert.acknowledgedBy === who.counsellor.id;
    switch (command.kind) {
      case 'note':
        return 'noted';
      case 'resolve':
        return 'closed';
      case 'say':
        return lastSaid.some((said) => said.values?.['words'] === command.words) ? 'sent' : 'not-sent';
      case 'hand-over':
        return alert.offeredTo === command.to ? 'handed-over' : 'has-it';
      case 'reopen':
        return isHers ? 'opened-again' : 'has-it';
      default:
        if (alert.stage === 'resolved') return 'no-alert';
        return isHers ? 'took' : 'has-it';
    }
  };

  act('take', forms.take, 'took', ({ code }) => ({ kind: 'acknowledge', code }));
  act('note', forms.note, 'noted', (form) => ({ kind: 'note', code: form.code, note: form.note }));
  act('close', forms.close, 'closed', (form) => ({
    kind: 'resolve',
    code: form.code,
    outcome: form.outcome,
    note: form.note,
  }));
  act('open', forms.open, 'opened-again', ({ code }) => ({ kind: 'reopen', code }));
  act('write', forms.write, 'wrote-to-her', ({ code, words }) => ({ kind: 'say', code, words }));
  act('hand-over', forms['hand-over'], 'handed-over', ({ code, to }, { counsellor }, state) => {
    const other = desk.programme.counsellors.find((c) => c.id === to);
    const mayHave = other !== undefined && (counsellor.lead || worksIn(other, areaOf(state, desk.programme)));
    return mayHave ? { kind: 'hand-over', code, to } : undefined;
  });

  pages.form('/mother/:line/:index/rhythm', rhythmForm, async (who, form, request, response) => {
    const found = await lineAt(who, request);
    if (found === undefined || found.state.mothers[found.index] === undefined) {
      await pages.nothingHere(who, request, response);
      return;
    }
    const { lineId, index } = found;
    await accounts.log(who.counsellor.id, { action: 'rhythm', object: `${lineId}/${index}` });
    await desk.line.tell(lineId, {
      ...{ kind: 'rhythm', id: `desk ${randomUUID()}`, by: who.counsellor.id },
      ...{ mother: index, wish: wishOf(form) },
    });
    response.redirect(303, `/desk/mother/${lineId}/${index}?done=rhythm`);
  });

  pages.form('/mother/:line/:index/birth', birthForm, async (who, form, request, response) => {
    const found = await lineAt(who, request);
    if (found === undefined || found.state.mothers[found.index] === undefined) {
      await pages.nothingHere(who, request, response);
      return;
    }
    const { lineId, index } = found;
    await accounts.log(who.counsellor.id, { action: 'birth', object: `${lineId}/${index}` });
    await desk.line.tell(lineId, {
      ...{ kind: 'birth', id: `desk ${randomUUID()}`, by: who.counsellor.id, mother: index },
      ...birthOf(form),
    });
    response.redirect(303, `/desk/mother/${lineId}/${index}?done=birth`);
  });

  pages.form('/mother/:line/:index/place', placeForm, async (who, form, request, response) => {
    const found = who.counsellor.lead ? await lineAt(who, request) : undefined;
    const isKnown = form.area === '' || areasKnown(desk.programme).includes(form.area);
    if (found === undefined || !isKnown) {
      await pages.nothingHere(who, request, response);
      return;
    }
    const { lineId, index } = found;
    await accounts.log(who.counsellor.id, { action: 'placed', object: lineId });
    await desk.line.tell(lineId, {
      kind: 'place',
      // The same form again is another deed: she may have been placed elsewhere in between.
      id: `desk ${randomUUID()}`,
      by: who.counsellor.id,
      area: form.area === '' ? null : form.area,
    });
    response.redirect(303, `/desk/mother/${lineId}/${index}?done=placed`);
  });
}

/** The same form sent twice is one deed; the same page used for another note is another. */
function eventId(who: SignedIn, form: object): string {
  return `desk ${createHash('sha256')
    .update(JSON.stringify([who.counsellor.id, form]))
    .digest('base64url')}`;
}
