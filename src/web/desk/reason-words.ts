import { babySignCodes, motherSignCodes } from '../../care/signs.ts';
import type { Reason } from '../../care/reason.ts';
import type { Speech } from './speech.ts';

const signCodes: ReadonlySet<string> = new Set([...babySignCodes, ...motherSignCodes]);

/** What a care rule found, with its figures, in the language of the desk. A code without words says that something stands out. */
export function reasonWords({ code, values }: Reason, speech: Speech): string {
  if (signCodes.has(code)) return signWords(code, values, speech);
  const { say } = speech;
  const span = values['days'] ?? (code === 'not-regained' ? values['day'] : undefined);
  // By the name of count it would ask for a plural form.
  const { count: concerns = 0, ...figures } = values;
  const filled = {
    ...figures,
    concerns,
    span: typeof span === 'number' ? say('for.days', { count: span }) : '',
    usual: values['usualGramsPerDay'] === undefined ? '' : ` ${say('found.usual', values)}`,
    doubt: speech.one('found.doubt', String(values['why'] ?? 'other')),
  };
  const isUrgent = code === 'weight-doubtful' && values['ifTrue'] !== undefined;
  return speech.one('found', isUrgent ? 'weight-doubtful-urgent' : code, filled);
}

function signWords(code: string, values: Reason['values'], speech: Speech): string {
  const { say } = speech;
  const sign = speech.shared(values['who'] === 'mother' ? 'sign.mother' : 'sign.baby', code);
  const figures = [
    ...(values['temperatureC'] === undefined ? [] : [say('found.celsius', values)]),
    ...(values['breathsPerMinute'] === undefined ? [] : [say('found.breaths', values)]),
    ...(values['hours'] === undefined ? [] : [say('found.hours', values)]),
  ].join(', ');
  return say('found.sign', { sign, measured: figures === '' ? '' : ` (${figures})` });
}
