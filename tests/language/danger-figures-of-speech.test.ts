import { describe, expect, it } from 'vitest';
import { signsAskedOrTold, signsIn } from './danger-phrases.ts';

/**
 * Harmless texts with danger words, each beside a text that has the same words and is a danger: a rule that quietens the
 * first may not quieten the second. Labels: WHO IMCI (2014, 2019), WHO PCPNC (2015); figures of speech are common speech,
 * no source.
 */
describe('figures of speech', () => {
  it.each([
    ['this job is a headache', 'i have a bad headache', 'mother headache-vision'],
    ['ye traffic sar dard ban gaya', 'sar dard bahut h', 'mother headache-vision'],
    ['हा फोन म्हणजे डोकेदुखी', 'खूप डोकेदुखी आहे', 'mother headache-vision'],
    ['neend se mari ja rahi hu', 'mar jane ka man hai', 'mother self-harm'],
    ['uski muskan pe mar jau', 'mar jau aisa lagta h', 'mother self-harm'],
    ['भूख से मरी जा रही हूँ', 'मर जाऊँ ऐसा लगता है', 'mother self-harm'],
    [
      'my nephew keeps hitting my arm, he is naughty',
      'i keep hitting my arm to feel something',
      'mother self-harm',
    ],
    ['the kitchen is boiling hot', 'the baby is boiling hot', 'baby fever'],
    ['babies catch cold in winter', 'the baby is cold, even the tummy', 'baby cold'],
    ['power cut here again', 'my cut is open', 'mother wound'],
    ['she cut her first tooth', 'her cut is open and bleeding', 'mother wound'],
    ['dudh kam to nahi ho raha', 'dudh bahut kam pi raha h', 'baby not-feeding'],
  ])('%s / %s', (harmless, danger, sign) => {
    expect(signsIn(harmless)).toEqual([]);
    expect(signsAskedOrTold(danger)).toContain(sign);
  });
});

describe('a sign and what stands beside it', () => {
  it.each([
    ['bukhar nahi, ulti bhi nahi', 'ulti bhi ho rahi h bahut', 'baby persistent-vomiting'],
    ['ताप नाही, जुलाब पण नाही', 'उलटी होते पण दूध पीत नाही', 'baby not-feeding'],
    ['she is not cold, feeding well', 'she is not, since morning, feeding', 'baby not-feeding'],
    ['my husband has fever so he stays outside', 'my husband is fine but the baby has fever', 'baby fever'],
    ['pati ko bukhar h wo bahar sote h', 'pati bahar h, bacche ko bukhar h', 'baby fever'],
    ['munna raat ko acche se sota h', 'munna bahut sota h uthta nahi', 'baby lethargy'],
    ['ankh se thoda pani ata h', 'ankh suji h aur peela mawad', 'baby eye-infection'],
    ['so hot today, baby is fine', 'the baby is so hot', 'baby fever'],
    ['khoon band ho gaya thanku', 'khoon band nahi ho raha', 'mother bleeding'],
    [
      'i had fever, it was three weeks ago',
      'i had fever three weeks ago and it came back',
      'mother maternal-fever',
    ],
    ['mujhe bukhar hua tha do hafte pehle', 'bukhar tha do hafte pehle, ab bhi h', 'mother maternal-fever'],
    ['sote me ajeeb awaze nikalta h', 'mujhe ajeeb awaze aati h', 'mother self-harm'],
    ['should i boil the bottle', 'he has a boil on his head', 'baby cord-skin-infection'],
    ['रक्त आता खूप कमी आहे', 'रक्त खूप जाते', 'mother bleeding'],
  ])('%s / %s', (harmless, danger, sign) => {
    expect(signsIn(harmless)).toEqual([]);
    expect(signsAskedOrTold(danger)).toContain(sign);
  });
});

describe('letters that a keypad leaves out', () => {
  it.each([
    ['bcche ka badan jal rha h', 'baby fever'],
    ['100.4 h munne ko', 'baby fever'],
    ['thrmamtr me 101 aya bete ka', 'baby fever'],
    ['saans ni le pa rha', 'baby fast-breathing'],
    ['mujhe is dunia me nahi rehna', 'mother self-harm'],
  ])('%s: %s', (text, sign) => {
    expect(signsAskedOrTold(text)).toContain(sign);
  });

  it('still takes "8 h" for hours', () => {
    expect(signsIn('soya 38 h')).toEqual([]);
  });
});

describe('whose it is, and what is usual', () => {
  it.each([
    ['bachcha kaala dikhta h, gora kab hoga', 'bachcha kaala pad gaya rote rote', 'baby faint'],
    [
      'haath thande rehte h bachche ke par accha khelta h',
      'haath pair thande h bachche ke par rota h',
      'baby cold',
    ],
    ['potty ka rang sarso jaisa pila', 'rang haldi jaisa pila h bachche ka', 'baby jaundice'],
    ['baby dudh pike tan ke so gaya', 'baby tan ke akad gaya', 'baby convulsion'],
    ['din bhar kaam, pair dukh jate h', 'ek pair dukh raha h, suj bhi gaya', 'mother leg-swelling'],
    ['sote me saans ki halki awaz aati h', 'saans me ghar ghar awaz aati h', 'baby fast-breathing'],
    ['dudh pilate waqt pet me marod uthti h', 'pet me bahut marod uthti h', 'mother abdominal-pain'],
    ['bache ko ulta sulau kya', 'bache ko ulti lagatar', 'baby persistent-vomiting'],
    ['usne aaj palti maari', 'maine use maara aaj', 'mother harm-baby'],
    ['dawa se bache ko nuksan to nahi', 'bache ko nuksan pahuncha du', 'mother harm-baby'],
    ['sir pe baal kam h bache ke', 'peshab kam h bache ka', 'baby no-urine'],
    ['pehle khoon aata tha ab safed pani', 'pehle safed pani tha ab khoon bahut', 'mother bleeding'],
    ['bukhar h nahi', 'badan garam h thermometer nahi ghar me', 'baby fever'],
    ['8 bar dudh 6 susu, 3 latrine dard nahi', 'subah se susu nahi ki, dard bhi', 'baby no-urine'],
    ['tike ke baad bukhar hoga kya', 'tike ke baad bukhar h theek hoga kya', 'baby fever'],
    ['mobile garam ho jata h', 'munna garam ho jata h raat ko', 'baby fever'],
    ['saas kehti h dudh kam h', 'saas kehti h dudh kam pi raha h', 'baby not-feeding'],
    ['machhar ne kata lal ho gaya aankh ke paas', 'aankh lal ho gayi chipak rahi', 'baby eye-infection'],
    ['chukandar khane se khoon badhta kya', 'khoon badhta ja raha h', 'mother bleeding'],
    ['gaon me pani ki kami h', 'bache me pani ki kami lagti h', 'baby dehydration'],
    ['pahile rakt jast hota ata kami', 'rakt kami hota ata jast', 'mother bleeding'],
    ['maine abhi khana nahi khaya', 'bache ne subah se kuch nahi khaya', 'baby not-feeding'],
    ['bachche ko na to bukhar h na ulti', 'na to dudh pita h na hi aankh kholta h', 'baby not-feeding'],
    ['na to bukhar h na hi dast', 'na to bukhar utar raha h na hi ulti ruk rahi', 'baby fever'],
    ['bukhar khansi dast kuch bhi nahi', 'bukhar h, khansi nahi', 'baby fever'],
    ['bal radat nahi, khelta', 'bal radat nahi, halat nahi', 'baby lethargy'],
    ['garam masala kam khati hu', 'dudh kam piti h bachchi', 'baby not-feeding'],
    ['khoon pasina ek kiya', 'khoon se kapde bhige', 'mother bleeding'],
    ['bukhar 2 din raha phir apne aap utar gaya', 'bukhar 2 din raha phir chadh gaya', 'baby fever'],
    ['tike se bukhar aata h kya', 'bukhar aata h roz shaam ko bachche ko', 'baby fever'],
    ['बाळ गाढ झोपलंय', 'बाळ गाढ झोपेत, उठवलं तरी उठत नाही', 'baby lethargy'],
    ['nani ko bhagwan ne bula liya', 'bhagwan mujhe bula le', 'mother self-harm'],
    [
      'bina dard ke delivery hui, khoon ki jaanch theek',
      'bina chot ke naak se khoon aaya bachche ko',
      'baby newborn-bleeding',
    ],
    ['pair me sujan nahi', 'pair itne suj gaye ki chappal nahi aati', 'mother leg-swelling'],
    ['bhains ko dast lage h', 'bhains ka dudh pilaya to bacche ko dast lag gaye', 'baby dehydration'],
    ['sapne me murgi ko jhatke', 'murgi ke ande jitna khoon ka thakka gira', 'mother bleeding'],
    ['pata hi nahi chala kab soya', 'hath pair hi nahi chala raha', 'baby lethargy'],
    ['thanda khane se nimoniya hota h', 'thanda pad gaya h bachcha', 'baby cold'],
    ['kapde sookhte nahi barish me', 'kapde sukhe h peshab nahi', 'baby no-urine'],
    ['dudh ki dhaar se chhati halki', 'dudh dhaar ke sath ulti karta h har bar', 'baby persistent-vomiting'],
    ['use zukam tha bhap dilai me ne', 'mere jeene ka koi use nahi', 'mother self-harm'],
    ['khn bnd ho gya', 'khn bnd ni ho ra', 'mother bleeding'],
    ['bkhr thk ho gya bche ka', 'bkhr thk ni hua bche ka', 'baby fever'],
    ['hsbnd ko bukhr h', 'bche ko bukhr h hsbnd bahar h', 'baby fever'],
    ['pdos me bche ko bukhr h', 'pdos me dikhaya, mre bche ko bukhr h', 'baby fever'],
    ['mna kr diya ghr jane se', 'dud pine se mna kr ri h', 'baby not-feeding'],
    ['bukhar tha ab nahi', 'bukhar tha ab nahi utar raha', 'baby fever'],
    ['ulti thi ab bilkul nahi', 'ulti thi ab bilkul nahi ruk rahi', 'baby persistent-vomiting'],
    ['dast lage the theek ho gaye', 'dast lage the ab fir lage h', 'baby dehydration'],
    ['dudh nahi pita tha shuru me ab khub pita h', 'dudh khub pita tha ab nahi pita', 'baby not-feeding'],
    ['khoon ka rishta h', 'khoon ka thakka gira', 'mother bleeding'],
    ['dudh kyu nahi aata mera', 'dudh kyu nahi pi raha ye', 'baby not-feeding'],
    ['pani garam nahi hota chulhe pe', 'bachcha garam nahi hota kambal me bhi', 'baby cold'],
    ['chadar ka rang laal h', 'chadar laal ho gayi khoon se', 'mother bleeding'],
    ['potat gas ahe', 'sakalpasun balachya potat kahi nahi', 'baby not-feeding'],
    ['khoon ruk gaya h', 'khoon ruk gaya tha, fir se aa raha', 'mother bleeding'],
    ['dudh pina band to nahi kiya', 'dudh pina band kar diya', 'baby not-feeding'],
    ['tanke sukh gaye', 'tanke sukh gaye the par ek jagah se khul gaya', 'mother wound'],
    ['nabhi sukh gayi', 'nabhi sukh gayi thi ab phir gili h badbu', 'baby cord-skin-infection'],
    ['mutthi bandh rehti h bache ki', 'mutthi bandh gayi, akad gaya bachcha', 'baby convulsion'],
    ['nazar utarwani h bas', 'nazar dhundhli h mujhe kal se', 'mother headache-vision'],
    ['dole pivle hote ata pandhre', 'dole pandhre hote ata pivle', 'baby jaundice'],
    ['bakri ko bukhar h', 'bakri ko chara diya, lauti to munna tap raha tha', 'baby fever'],
    [
      'natak me ek bachche ko daura pada',
      'bachche ko daura pada, pati bole natak kar raha',
      'baby convulsion',
    ],
    ['pet phula nahi, potty bhi thik', 'pet dhol h, potty bhi nahi', 'baby swollen-belly'],
    ['pita ji ko dil ka daura pada tha', 'bachche ko daura pada', 'baby convulsion'],
    ['kaanta lag gaya khoon nikla thoda', 'khoon bahut nikla, kapde bhige', 'mother bleeding'],
    ['bachcha ulte haath se khelta h', 'bachcha ulta deta h sab dudh', 'baby persistent-vomiting'],
    ['hansi se pet pakad ke baith gayi', 'pet pakad ke ro rahi h bahu', 'mother abdominal-pain'],
    [
      'thermometer 3 baar toot gaya, 100 rupaye ka tha',
      'thermometer lagaya dono baar 100 se upar',
      'baby fever',
    ],
    ['rang nikhar raha h', 'bukhar chadh raha h', 'baby fever'],
    ['kaan thande rehte h topi pehnau', 'kaan bhi thande pet bhi thanda bache ka', 'baby cold'],
    ['dudh kam na ho isliye methi khati hu', 'dudh kam na samjho, bilkul nahi pita', 'baby not-feeding'],
    ['khoon rukne me kitne din lagte h', 'khoon rukne ka naam nahi leta', 'mother bleeding'],
    ['mera khana peena theek h', 'iska dudh peena band h', 'baby not-feeding'],
    ['dole ughdun baghta', 'dole ughadle nahi balane', 'baby lethargy'],
    ['बाळाची नजर उतरवली', 'माझी नजर अंधुक झाली', 'mother headache-vision'],
    ['काळा टीका लावला बाळाला', 'बाळ रडताना काळं पडलं', 'baby faint'],
    ['पोट कडक नाही बाळाचं', 'बाळ कडक झालं डोळे फिरले', 'baby convulsion'],
    ['ulti hoti thi par ab band ho gayi', 'dudh pita tha par ab band kar diya', 'baby not-feeding'],
    ['khoon aata tha par ab band ho gaya', 'susu aata tha par ab band ho gaya', 'baby no-urine'],
    ['mujhe bukhar tha ab theek hu', 'mujhe bukhar tha ab usko bhi ho gaya', 'baby fever'],
    [
      'raat ko aakhri baar 11 baje piya phir 4 baje',
      'aakhri baar 9 baje piya tha ab dopahar ho gayi',
      'baby not-feeding',
    ],
    ['ताप आल्यावर बाळाला अंगावर पाजावं का', 'मला खूप रक्त जातंय ताप आल्यावर बाळाला पाजावं का', 'mother bleeding'],
    [
      'pahilya mulala kavil hoti hyala nahi',
      'doka khup dukhtay andhari yete pahilya mulala kavil hoti hyala nahi',
      'mother headache-vision',
    ],
    ['naak se ajeeb awaz aati h', 'mujhe kaan me awaz aati h', 'mother self-harm'],
    ['mai to mar gayi kaam kar kar ke', 'mai mar gayi to sab chain se rahenge', 'mother self-harm'],
    ['na bukhar na ulti na dast', 'na bukhar h na khansi, dast bahut ho rahe', 'baby dehydration'],
    ['bal changla pitay, kahi tras nahi', 'bal pitach nahi, baki kahi tras nahi', 'baby not-feeding'],
    ['navryala tap ahe, balala lagel ka', 'navryala tap hota, balala pan tap ahe', 'baby fever'],
    ['ताप आल्यावर बाळाला पाजावं का', 'ताप आलाय बाळाला, पाजावं का', 'baby fever'],
    [
      'pehle bachche ko piliya tha is wale ko nahi',
      'pehle bachche ko piliya tha, is wale ko bhi piliya h',
      'baby jaundice',
    ],
  ])('%s / %s', (harmless, danger, sign) => {
    expect(signsIn(harmless)).toEqual([]);
    expect(signsAskedOrTold(danger)).toContain(sign);
  });

  it('takes "unko" for the person named before', () => {
    expect(signsIn('meri patni ki delivery hui, unko khoon bahut ja raha h')).toContain('mother bleeding');
    expect(signsIn('unko bukhar h 3 din se, bachche se dur rakhu kya')).toContain('baby fever?');
  });
});
