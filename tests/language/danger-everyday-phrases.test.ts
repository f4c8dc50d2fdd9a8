import { describe, expect, it } from 'vitest';
import { readDanger } from '../../src/language/danger/index.ts';
import { phrases, signsAskedOrTold, signsIn } from './danger-phrases.ts';

/**
 * Words that stand in a danger phrase and in the talk of any day: the first text is the day's, the second has the same
 * words and is a danger. Labels: WHO IMCI (2014, 2019), WHO PCPNC (2015); the everyday texts are invented.
 */
describe('a word of danger in the talk of the day', () => {
  it.each([
    ['he is still small', 'baby is lying still and not crying', 'baby lethargy'],
    ['she is a very quiet baby, smiles a lot', 'baby is very quiet and wont wake', 'baby lethargy'],
    [
      'his head falls to the side in his sleep',
      'his head drops back, he is loose like cloth',
      'baby lethargy',
    ],
    ['hands are cold but tummy warm', 'hands, feet and tummy are cold', 'baby cold'],
    ['my hands are cold in winter', 'my baby is cold in his blanket', 'baby cold'],
    ['my breast is empty after feeding', 'i feel empty and numb inside', 'mother self-harm'],
    ['i will finish all the washing today', 'i want to finish everything', 'mother self-harm'],
    ['we keep pesticide away from children', 'i drank pesticide', 'mother self-harm'],
    ['i have iron tablets left for a month', 'i have kept all the pills for tonight', 'mother self-harm'],
    ['goodbye, talk tomorrow', 'goodbye, look after my baby', 'mother self-harm'],
    ['they told me to come for the vaccine', 'a voice is calling me to come', 'mother self-harm'],
    ['i leave my baby with my mother when i work', 'i want to leave the baby somewhere', 'mother harm-baby'],
    ['i drop the baby at my mother’s house', 'i am scared i will drop the baby', 'mother harm-baby'],
    ['i hold him with my hand under his head', 'my hand on his mouth till he stopped', 'mother harm-baby'],
    ['i change pads every 4 hours, light flow', 'i change pads every half hour', 'mother bleeding'],
    ['the cut on my finger is open', 'my cut is open and wet', 'mother wound'],
    ['i see two teeth coming', 'i am seeing two of everything', 'mother headache-vision'],
    [
      'breast hard in the morning, soft after he drinks',
      'breast hard, red and hot with fever',
      'mother breast-red-fever',
    ],
    [
      'he turns his head to look for the breast',
      'he turns his head away from the breast',
      'baby not-feeding',
    ],
    ['my neck is stiff from the feeding posture', 'baby neck is stiff', 'baby stiff-neck-soft-spot'],
    ['पेट भर जाने पर मुँह फेर लेता है', 'मुँह फेर लेता है दूध नहीं लेता', 'baby not-feeding'],
    ['लंगोट धूप में सूखे हैं', 'लंगोट सुबह से सूखा है', 'baby no-urine'],
    ['हाथ ठंडे रहते हैं पर पेट गरम', 'हाथ पैर ठंडे और पेट भी ठंडा', 'baby cold'],
    ['टकटकी लगाकर पंखा देखता है', 'टकटकी लगाकर देखता है और हाथ अकड़े', 'baby convulsion'],
    ['छत पर कपड़े सुखाने गई', 'छत पर खड़ी हूँ कूद जाऊँ', 'mother self-harm'],
    ['चाय के लिए जान दे दूँ', 'जान दे दूँगी', 'mother self-harm'],
    ['गुस्से में बर्तन पटक दिया', 'गुस्से में बच्चे को पटक दूँ', 'mother harm-baby'],
    ['पिलाने से पहले छाती भारी हो जाती है', 'छाती भारी और दर्द', 'mother chest-pain'],
    ['सास की साँस फूलती है', 'सास बाहर हैं, मुझे साँस नहीं आ रही', 'mother breathless'],
    ['तारे देख रहे थे', 'आँखों के आगे तारे दिखते हैं', 'mother headache-vision'],
  ])('%s / %s', (harmless, danger, sign) => {
    expect(signsIn(harmless)).toEqual([]);
    expect(signsAskedOrTold(danger)).toContain(sign);
  });
});

describe('whose it is, and what was said of it', () => {
  it.each([
    ['husband has fever what should i do', 'i have fever, what should i do', 'mother maternal-fever'],
    ['what to do in case of fever', 'in case you ask, he has fever since morning', 'baby fever'],
    ['whom do i call if baby gets fever', 'i call because baby has fever', 'baby fever'],
    ['sister in law passed out at the wedding', 'i passed out at the wedding', 'mother faint'],
    ['mild headache, no sleep', 'mild headache for two days', 'mother headache-vision'],
    [
      'a bit yellow in the eyes, doctor said fine',
      'doctor said fine but now his feet are yellow',
      'baby jaundice',
    ],
    ['eyes yellow, nurse said it is normal', 'he has a fit, nurse said it is normal', 'baby convulsion'],
    ['आँखें पीली हैं, नर्स बोली सामान्य है', 'नर्स ने कहा ठीक है पर अब पैर भी पीले', 'baby jaundice'],
    ['8 बार दूध, 6 पेशाब, दर्द नहीं', 'दूध पिया, पेशाब नहीं', 'baby no-urine'],
    ['पति को बुखार है क्या करूँ', 'मुझे बुखार है क्या करूँ', 'mother maternal-fever'],
  ])('%s / %s', (harmless, danger, sign) => {
    expect(signsIn(harmless)).toEqual([]);
    expect(signsAskedOrTold(danger)).toContain(sign);
  });

  it('does not take "gayi" for the cow that a harmless saying names', () => {
    expect(signsAskedOrTold('bchi behos ho gyi thi god me')).toContain('baby faint');
  });
});

describe('worry that is denied', () => {
  it.each(['8 feeds 6 wet 3 dirty no pain', 'दर्द नहीं', 'सास के घुटने में दर्द है'])('%s', (text) => {
    expect(readDanger(text, phrases)).toEqual({ signs: [], worried: false });
  });

  it.each(['he is crying with pain', 'दर्द है'])('%s', (text) => {
    expect(readDanger(text, phrases).worried).toBe(true);
  });
});
