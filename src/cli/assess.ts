import { type Assessment, assess } from '../care/assess.ts';
import { adviceText, reasonText } from '../care/reason-text.ts';
import { shownLossPercent } from '../care/weight-loss.ts';
import { readCaseLine } from './assess-line.ts';
import type { Command } from './command.ts';
import { eachJsonLine } from './json-lines.ts';

/** `eightfeeds assess`: cases as JSON lines in, one assessed JSON line each out, in the same order. */
export const command: Command = {
  summary: 'judge cases by the care rules, one JSON line each',
  usage: 'assess < cases.jsonl',
  async run(args, io) {
    if (args.length > 0) {
      io.errors.write(
        'eightfeeds: assess takes no arguments; give the cases on standard input, one JSON object a line\n',
      );
      return 2;
    }
    return eachJsonLine(io, (line) => {
      const { id, known } = readCaseLine(line);
      return assessedLine(id, assess(known));
    });
  },
};

function assessedLine(id: string | number, { tier, reasons, growth, advice }: Assessment) {
  return {
    id,
    tier,
    reasons: reasons.map((reason) => ({
      code: reason.code,
      text: reasonText(reason),
      source: reason.source,
    })),
    ...growthFields(growth),
    advice: adviceText(advice),
  };
}

/** Absent when no weight could be used. A figure that cannot be worked out is null; z to 0.01, the others to 0.1 or 0.01. */
function growthFields({ latest, z, centile, gPerDay, lossPercent }: Assessment['growth']) {
  if (latest === undefined) return {};
  return {
    growth: {
      z: rounded(z, 100),
      centile: rounded(centile, 10),
      g_per_day: rounded(gPerDay, 10),
      loss_percent: lossPercent === undefined ? null : shownLossPercent(lossPercent),
    },
  };
}

/** To one part of `parts`; never minus zero. */
function rounded(value: number | undefined, parts: number): number | null {
  return value === undefined ? null : Math.round(value * parts) / parts + 0;
}
