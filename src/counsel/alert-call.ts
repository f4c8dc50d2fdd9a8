import type { Inbound, Reply } from '../channels/carrier.ts';
import type { LineEvent } from '../dialog/event.ts';
import type { Alert, LineId, LineState } from '../dialog/line.ts';
import { receiverOf } from '../dialog/outcome.ts';
import type { Content, Counsellor, Programme } from '../dialog/world.ts';
import type { OutboxRecord, Store } from '../store/store.ts';
import { isCounsellorRecord } from './counsellor-record.ts';
import { counsellorById } from './rota.ts';

interface AlertCallParts {
  readonly store: Store;
  readonly content: Content;
  readonly programme: Programme;
  readonly run: (lineId: LineId, phone: string, event: LineEvent) => Promise<Reply>;
}

/** What a call of ours to a counsellor tells of. */
interface Telling {
  readonly message: OutboxRecord;
  readonly alert: Alert;
}

/**
 * A call that tells a counsellor of an alert: she hears it, presses 1 to take it and is connected to the mother, 2 to hear it
 * again. Keys count only with the id of the very call, which stands in the signed address. Nobody, or an answering machine,
 * takes nothing. A counsellor who rings the line is turned away.
 */
export function alertCall({ store, content, programme, run }: AlertCallParts) {
  const tellingOf = async (
    outboxId: string | undefined,
    counsellor: Counsellor,
  ): Promise<Telling | undefined> => {
    const message = outboxId === undefined ? undefined : await store.message(outboxId);
    if (message === undefined || message.receiver !== receiverOf(counsellor.id, 'call')) return undefined;
    const stored = await store.load(message.lineId);
    if (stored === undefined || isCounsellorRecord(stored.state)) return undefined;
    const { alerts } = JSON.parse(stored.state) as LineState;
    const alert = alerts.find((a) => message.id.includes(`!${a.id}!`));
    return alert === undefined ? undefined : { message, alert };
  };

  return async (
    counsellor: Counsellor,
    inbound: Exclude<Inbound, { kind: 'receipt' | 'text' }>,
  ): Promise<Reply> => {
    const { language } = counsellor;
    const told = (key: string, values: Readonly<Record<string, string | number>> = {}) =>
      content.wording.say(key, values, language, 'voice');
    const end = (say: string): Reply => ({ kind: 'say-and-end', say, language });
    const tellAlert = ({ message, alert }: Telling): Reply => {
      if (alert.stage === 'resolved') return end(told('counsellor.call.closed'));
      if (alert.acknowledgedBy !== null && alert.acknowledgedBy !== counsellor.id) {
        const name = counsellorById(programme, alert.acknowledgedBy)?.name ?? alert.acknowledgedBy;
        return end(told('counsellor.call.has-it', { name }));
      }
      return {
        kind: 'ask',
        say: `${message.body} ${told('counsellor.call.choose')}`,
        language,
        digits: 1,
        bound: true,
      };
    };
    if (inbound.kind === 'call-rang') return { kind: 'busy' };
    const telling = await tellingOf(inbound.outboxId, counsellor);
    if (inbound.kind === 'call-ended') {
      if (telling !== undefined)
        await run(telling.message.lineId, '', {
          kind: 'receipt',
          id: inbound.id,
          outboxId: telling.message.id,
          status: inbound.status,
          errorCode: null,
        });
      return { kind: 'nothing' };
    }
    if (telling === undefined) return end(told('counsellor.help'));
    const command = (c: Extract<LineEvent, { kind: 'counsellor' }>['command']) =>
      run(telling.message.lineId, '', {
        kind: 'counsellor',
        id: inbound.id,
        by: counsellor.id,
        channel: 'call',
        command: c,
      });
    const { code } = telling.alert;
    switch (inbound.kind) {
      case 'call-answered':
        return tellAlert(telling);
      case 'keys':
        if (inbound.digits === '1') return command({ kind: 'acknowledge', code });
        return inbound.digits === '' ? end(told('counsellor.call.no-key')) : tellAlert(telling);
      case 'connect-ended':
        if (inbound.answered) return end(told('counsellor.call.over'));
        return command({ kind: 'not-connected', code, status: inbound.status });
      default:
        return inbound satisfies never;
    }
  };
}
