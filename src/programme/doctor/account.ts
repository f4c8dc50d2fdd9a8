import { good, type LookedAt, look, mend } from './looked-at.ts';

/** Where an account sends what comes in; null where nothing is set. */
interface Inbound {
  readonly text: string | null;
  readonly textFallback: string | null;
  readonly call: string | null;
  readonly callFallback: string | null;
}

/** What the carrier says of the account: see the carrier that asks. */
interface Account {
  readonly status: string;
  readonly isTrial: boolean;
  readonly number: (Inbound & { readonly takesTexts: boolean; readonly takesCalls: boolean }) | undefined;
  readonly service: { readonly text: string | null; readonly hasNumber: boolean } | undefined;
}

/** Whether what the carrier knows of the account fits the settings. `number` is the line's, E.164. */
export function accountLookedAt(account: Account, publicUrl: string, number: string): readonly LookedAt[] {
  return [
    account.status !== 'active'
      ? mend('account', `The carrier says that the account is ${account.status}. Ask the carrier.`)
      : account.isTrial
        ? look('account', 'It is a trial account: it reaches only numbers that you proved to be yours.')
        : good('account', 'The carrier knows it, and it is active.'),
    ...(account.number === undefined
      ? [mend('sender', `The account does not own ${number}. Set TWILIO_NUMBER to one it owns.`)]
      : [
          ...(account.number.takesTexts
            ? []
            : [mend('sender', `${number} takes no texts. Take a number that does.`)]),
          ...(account.number.takesCalls
            ? []
            : [mend('sender', `${number} takes no calls. Take a number that does.`)]),
          ...webhooks(account.number, account.service?.text ?? null, publicUrl),
        ]),
    ...(account.service === undefined || account.service.hasNumber
      ? []
      : [
          mend(
            'messaging service',
            `It does not send from ${number}. Add the number to its senders, or mothers would get texts from a stranger.`,
          ),
        ]),
  ];
}

function webhooks(number: Inbound, serviceText: string | null, publicUrl: string): readonly LookedAt[] {
  const wanted = [
    ['a text comes in', serviceText ?? number.text, '/carrier/text', 'mend'],
    ['a call comes in', number.call, '/carrier/call', 'mend'],
    ['the answer to a text fails', number.textFallback, '/carrier/fallback-text', 'look'],
    ['the answer to a call fails', number.callFallback, '/carrier/fallback-call', 'look'],
  ] as const;
  const found = wanted.flatMap(([when, is, path, weight]) => {
    // What stands behind # tunes how the carrier asks, and is never sent.
    const set = is?.split('#')[0];
    if (set === `${publicUrl}${path}`) return [];
    const words = `When ${when}, the carrier asks ${set ?? 'nobody'}. Set it to ${publicUrl}${path} (POST).`;
    return [weight === 'mend' ? mend('webhooks', words) : look('webhooks', words)];
  });
  return found.length > 0 ? found : [good('webhooks', `All four of the number's addresses are this line's.`)];
}
