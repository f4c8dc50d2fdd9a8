import { describe, expect, it } from 'vitest';
import { signsAskedOrTold, signsIn } from './danger-phrases.ts';

// What is a question and what is told: common practice, no source. A question about a sign that has not come is answered by
// a person or a tip; a sign that may well be there is asked back.
describe('a sign that is only asked about', () => {
  it.each([
    'what if baby gets fever?',
    'what if the baby has a fit',
    'if he vomits everything should i come?',
    'bukhar aaye to kya kare',
    'agar daura pad jaye to kya karna chahiye',
    'बच्चे को बुखार आ जाए तो क्या करें',
    'ताप आला तर काय करायचं',
    'fit ali tar kay karu',
    'will he get fever from the vaccine',
  ])('is no sign: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it.each([
    ['what to do if he is not drinking', 'baby not-feeding'],
    ['bukhar hai to kya karu', 'baby fever'],
    ['what if baby has fever since morning', 'baby fever'],
    ['अगर बच्चा सुबह से दूध नहीं पी रहा तो क्या करें', 'baby not-feeding'],
    ['what if i kill myself', 'mother self-harm'],
    ['zahar kha lu to kya hoga', 'mother self-harm'],
  ])('may be so all the same: "%s"', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });
});

describe('a remedy asked for a mild ache', () => {
  it.each([
    'can i take paracetamol for headache?',
    'sir dard me kaunsi goli lu',
    'dokedukhi sathi kay gheu',
    'सिर दर्द में कौन सी गोली ले सकते हैं',
  ])('is no sign: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it.each([
    'severe headache can i take tablet',
    'headache and blurred vision which tablet to take',
    'sir me bahut tez dard hai kaunsi goli lu',
    'headache since 2 days which tablet',
  ])('is one when it is bad or has lasted: "%s"', (text) => {
    expect(signsAskedOrTold(text)).toContain('mother headache-vision');
  });
});

describe('a sign of somebody else', () => {
  it.each([
    'my sister’s baby had fits, she is in other village',
    'padosan ki bachi ko daura aaya tha',
    'shejarchya balala fit yaychi',
  ])('is no sign when it is past: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it('is asked about when it may be now', () => {
    expect(signsAskedOrTold('my sister’s baby is having fits now')).toContain('baby convulsion');
  });
});

describe('words of two meanings and of two scripts', () => {
  it('reads "pila nahi" as not drunk, though pila is yellow too', () => {
    expect(signsAskedOrTold('balane pila nahi aaj')).toContain('baby not-feeding');
  });

  it('reads a word half in one script and half in the other', () => {
    expect(signsIn('tap geला ata barr ahe')).toEqual([]);
  });

  it('asks when she only thinks that he drank a little less', () => {
    expect(signsIn('he drank less today i think')).toEqual(['baby not-feeding?']);
  });
});

describe('a sign at large', () => {
  it.each([
    'how can i prevent fits',
    'is jaundice dangerous',
    'bacho ko daura kyu padta hai',
    'piliya se kaise bachaye',
    'पीलिया कब तक रहता है',
    'टीके के बाद बुखार आता है क्या',
    'kavil kiti divas rahte',
    'फिट म्हणजे काय',
    'बाळांना ताप का येतो',
  ])('asked about is no sign: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it.each([
    ['baby has fever is it dangerous', 'baby fever'],
    ['he is hot since morning how to check fever', 'baby fever'],
    ['mere bache ko daura kyu padta hai', 'baby convulsion'],
  ])('is still asked back when it is her own baby’s: "%s"', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });
});

describe('a sign denied, over, or another’s', () => {
  it.each([
    'fever no, vomiting no, fits no',
    'fever? no',
    'ताप वगैरे काही नाही',
    'बुखार तो नहीं है',
    'fever got better',
    'recovered from fever',
    'our neighbors child has fever',
    'my husband has fits',
    'saas ko dast hai',
    'मेरे भाई को बुखार है',
    'shejaryala tap ahe',
    'thandi padli ahe gavat',
    'ठंड में बच्चे को कितने कपड़े पहनाएं',
    'मला रक्ताची गोळी कधी घ्यायची',
  ])('is none: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it.each([
    ['fever no milk no drinking since morning', 'baby not-feeding'],
    ['saas lene me dikkat hai', 'mother breathless'],
    ['govt hospital is far and not even one time he has taken milk', 'baby not-feeding'],
    ['fits stopped now', 'baby convulsion'],
  ])('may be one all the same: "%s"', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });
});

describe('a remedy asked for another sign', () => {
  it.each([
    ['which medicine for fever', 'baby fever?'],
    ['bukhar me kaunsi dawa du', 'baby fever?'],
  ])('is asked back: "%s"', (text, sign) => {
    expect(signsIn(text)).toContain(sign);
  });

  it.each([
    ['bache ko bukhar hai kaunsi dawa du', 'baby fever'],
    ['he is having fever which medicine', 'baby fever'],
  ])('is a sign when it is told: "%s"', (text, sign) => {
    expect(signsIn(text)).toContain(sign);
  });
});

describe('a mother-in-law and a breath', () => {
  it.each([
    'saas kehti hai ghutti do',
    'सास शहद चटाना चाहती हैं',
    'meri saas bahut acchi hai',
    'saas ko bukhar hai',
  ])('are told apart: "%s"', (text) => {
    expect(signsIn(text)).toEqual([]);
  });

  it.each(['bache ki saas bahut tez chal rahi', 'meri saas phool rahi hai', 'मेरी सास फूल रही है'])(
    'never hide a breath written without its n: "%s"',
    (text) => {
      expect(signsAskedOrTold(text)).toContain('mother breathless');
    },
  );
});

describe('a sign told as slight', () => {
  it.each([
    ['hath pair thode thande hain bache ke', []],
    ['आज दूध थोड़ा कम पिया', ['baby not-feeding?']],
    ['baby hands and body a bit cold', ['baby cold?']],
    ['baby hands and body are very cold', ['baby cold']],
    ['आज दूध बहुत कम पिया', ['baby not-feeding']],
  ])('is asked about: "%s"', (text, signs) => {
    expect(signsIn(text)).toEqual(signs);
  });
});

// A question, a husband or a grandmother in the text must never hide a sign that is told.
describe('a sign told in a question or beside somebody else', () => {
  it.each([
    ['bleeding a lot is it dangerous', 'mother bleeding'],
    ['bleeding heavily what is to be done', 'mother bleeding'],
    ['fever 103 what is to be done', 'baby fever'],
    ['she has signs of dehydration', 'baby dehydration'],
    ['if i feed he vomits everything what to do', 'baby persistent-vomiting'],
    ['when he cries his lips turn blue what is this', 'baby faint'],
    ['when he breathes chest goes in how to help', 'baby chest-indrawing'],
    ['even if i pinch he is limp', 'baby lethargy'],
    ['help with baby not drinking', 'baby not-feeding'],
    ['is it normal that baby is burning hot', 'baby fever'],
    ['what is this his hands are jerking', 'baby convulsion'],
    ['is fast breathing normal my baby is doing it', 'baby fast-breathing'],
    ['agar dudh nahi pi raha to kya kare', 'baby not-feeding'],
    ['bukhar hai to doodh pilau kya', 'baby fever'],
    ['daure aa rahe hain ye khatarnak hai kya', 'baby convulsion'],
    ['dudh pilate hi ulti kare to kya kare', 'baby persistent-vomiting'],
    ['khoon bahut aa raha hai kya ye normal hai', 'mother bleeding'],
    ['delivery ke baad khoon ruk nahi raha kya kare', 'mother bleeding'],
    ['अगर बच्चा दूध न पिए तो क्या करें', 'baby not-feeding'],
    ['बच्चे को बुखार है क्या करें', 'baby fever'],
    ['दौरे पड़ रहे हैं क्या ये खतरनाक है', 'baby convulsion'],
    ['बाळाला ताप आहे काय करू', 'baby fever'],
    ['बाळ पित नाही तर काय करू', 'baby not-feeding'],
    ['fit yetay kay karu', 'baby convulsion'],
    ['khup rakt jatay he normal ahe ka', 'mother bleeding'],
    ['what if i die', 'mother self-harm'],
    ['i had fever yesterday and today shaking and cannot stand', 'mother maternal-fever'],
    ['my husband has fever and now baby also hot', 'baby fever'],
    ['pati ko bukhar tha ab bache ko bhi h', 'baby fever'],
    ['my mother says baby had a fit', 'baby convulsion'],
    ['meri maa bol rahi hai bache ko daura pada', 'baby convulsion'],
    ['fits last night, ok now', 'baby convulsion'],
  ])('is found or asked about: "%s"', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });
});
