import type { Carrier } from '../carrier.ts';
import type { PracticeNetwork } from './network.ts';

/** The carrier when no account is configured: texts and calls reach the phones of the practice page, and nothing else. */
export function practiceCarrier(network: Pick<PracticeNetwork, 'deliver' | 'ring'>): Carrier {
  return {
    name: 'practice',
    sendText: async (message) => ({ carrierId: network.deliver(message) }),
    placeCall: async (call) => ({ carrierId: network.ring(call) }),
  };
}
