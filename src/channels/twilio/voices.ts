import type VoiceResponse from 'twilio/lib/twiml/VoiceResponse.js';

/** A voice of the carrier, with the language it speaks. A pair that the carrier does not have fails the call. */
export type Voice = Pick<VoiceResponse.SayAttributes, 'language' | 'voice'>;

/** Which voice speaks which of our languages. A language that is missing is spoken by the carrier's default voice. */
export type Voices = Readonly<Record<string, Voice>>;

/** Voices that exist for the languages the line comes with. Source: the typings of the carrier's SDK, 6.2. */
export const defaultVoices: Voices = {
  en: { language: 'en-IN', voice: 'Polly.Kajal-Neural' },
  hi: { language: 'hi-IN', voice: 'Polly.Kajal-Neural' },
  mr: { language: 'mr-IN', voice: 'Google.mr-IN-Wavenet-A' },
};
