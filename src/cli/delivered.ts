import { readConfig } from '../config.ts';
import { deliveredRows, readDeliveries } from '../programme/delivered.ts';
import type { Command } from './command.ts';
import { openStoreOf } from './open-store.ts';

const usage = '[--month <YYYY-MM>]';

/** Tab-separated, a heading first. Direct answers to a mother's own text have no receipts and are not among them. */
export const command: Command = {
  summary: 'how many texts were delivered, by language and hour of the day',
  usage,
  async run(args, io) {
    const [option, month, ...rest] = args;
    const isGood =
      option === undefined || (option === '--month' && /^\d{4}-(0[1-9]|1[0-2])$/.test(month ?? ''));
    if (!isGood || rest.length > 0) {
      io.errors.write(`eightfeeds delivered ${usage}\n`);
      return 2;
    }
    const store = await openStoreOf(readConfig(io.env));
    try {
      const rows = deliveredRows(await readDeliveries(store), month);
      if (rows.length === 0) {
        io.errors.write('Nothing was written in that time.\n');
        return 0;
      }
      const head = [
        'to',
        'language',
        'hour',
        'written',
        'delivered',
        'lost',
        'not sent',
        'without word',
        'percent',
      ];
      const lines = rows.map((row) => [
        row.to,
        row.language,
        row.hour === null ? 'all' : `${String(row.hour).padStart(2, '0')}:00`,
        ...[row.written, row.delivered, row.lost, row.notSent, row.withoutWord].map(String),
        row.share === null ? '' : (row.share * 100).toFixed(1),
      ]);
      io.output.write(`${[head, ...lines].map((cells) => cells.join('\t')).join('\n')}\n`);
      return 0;
    } finally {
      await store.close();
    }
  },
};
