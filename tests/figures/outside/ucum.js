// Units from standard input, one a line; writes the unit, a number of it, its SI base units and the number of those.
const { UcumLhcUtils } = require('@lhncbc/ucum-lhc');
const ucum = UcumLhcUtils.getInstance();
const lines = require('fs').readFileSync(0, 'utf8').split('\n');
for (const line of lines) {
  if (!line || line.startsWith('#')) continue;
  const [code, other, , base] = line.split('\t');
  for (const number of ['Cel', '[degF]'].includes(code) ? [-40, 0, 100] : [1]) {
    const result = other === '-' ? null : ucum.convertUnitTo(other || code, number, base);
    if (result && result.status !== 'succeeded') throw new Error(`${code}: ${result.msg.join(' ')}`);
    console.log([code, number, base, result ? result.toVal : '-'].join('\t'));
  }
}
