import { apologiesOf, type ChannelParts, type LineChannel } from '../twilio/twilio-line.ts';
import { twilioWebhooks } from '../twilio/webhooks.ts';
import { practiceCarrier } from './carrier.ts';
import { practiceNetwork } from './network.ts';
import { newPracticeAccount } from './practice-account.ts';
import { practiceRouter } from './router.ts';

/** From Ofcom's range for fiction. */
const lineNumber = '+447700900008';

/** The practice phone in place of a carrier: the same signed webhooks on the same routes, and a page with the phones. */
export function practiceLine(parts: ChannelParts): LineChannel {
  const account = newPracticeAccount();
  const { clock, localUrl, onTrouble } = parts;
  const now = () => clock.now();
  const network = practiceNetwork({
    account,
    line: { listenUrl: () => localUrl, publicUrl: localUrl },
    lineNumber,
    now,
    onTrouble,
  });
  const { timeZone, counsellors } = parts.config.programme;
  return {
    carrier: practiceCarrier(network),
    routes: (service, forward) => ({
      webhooks: twilioWebhooks({
        ...account,
        numbers: [lineNumber],
        publicUrl: localUrl,
        service,
        onRefused: parts.onRefused,
        apologies: apologiesOf(parts),
      }),
      practice: practiceRouter({
        network,
        clock: { now, forward },
        timeZone,
        counsellors: counsellors.map((c) => ({ name: c.name, number: c.phone })),
      }),
    }),
  };
}
