/** Metric sentences shown to people who work in inches and pounds. Factors: 25.4 mm and 0.45359237 kg, both exact. */
import { describe, expect, it } from 'vitest';
import { convertSentence } from '../../packages/core/src/convert-sentence.js';

const imperial = (sentence: string): string => convertSentence(sentence, 'imperial');
const both = (sentence: string): string => convertSentence(sentence, 'both');

describe('convertSentence', () => {
  it('leaves metric sentences to those who read them', () => {
    expect(convertSentence('Raise it by 38 mm.', 'metric')).toBe('Raise it by 38 mm.');
  });

  it.each([
    ['Raise it by 38 mm.', 'Raise it by 1.5 in.', 'Raise it by 38 mm (1.5 in).'],
    ['A box of 254 × 127 mm.', 'A box of 10 × 5 in.', 'A box of 254 × 127 mm (10 × 5 in).'],
    ['wires 1.5–3 mm thick', 'wires 0.059–0.12 in thick', 'wires 1.5–3 mm (0.059–0.12 in) thick'],
    [
      'tears 120 mm³ (± 16.4 mm³)',
      'tears 0.00732 in³ (± 0.001 in³)',
      'tears 120 mm³ (0.00732 in³) (± 16.4 mm³ (0.001 in³))',
    ],
    ['164 cm³ ± 16.4 cm³', '10 in³ ± 1 in³', '164 cm³ (10 in³) ± 16.4 cm³ (1 in³)'],
    ['an area of 64.5 cm²', 'an area of 10 in²', 'an area of 64.5 cm² (10 in²)'],
    ['Put 45.4 kg on the cope', 'Put 100 lb on the cope', 'Put 45.4 kg (100 lb) on the cope'],
    ['0.227 kg short', '8.01 oz short', '0.227 kg (8.01 oz) short'],
    ['567 g short', '20 oz short', '567 g (20 oz) short'],
    ['122000 × 92900 mm', '4800 × 3660 in', '122000 × 92900 mm (4800 × 3660 in)'],
    ['Keep 3 m clear', 'Keep 9.8 ft clear', 'Keep 3 m (9.8 ft) clear'],
    ['at -40 °C, boils at 907 °C', 'at -40 °F, boils at 1665 °F', 'at -40 °C (-40 °F), boils at 907 °C (1665 °F)'],
    ['677–788 °C', '1251–1450 °F', '677–788 °C (1251–1450 °F)'],
    ['clamps for 44.5 N each', 'clamps for 10 lbf each', 'clamps for 44.5 N (10 lbf) each'],
  ])('%s', (metric, inches, two) => {
    expect(imperial(metric)).toBe(inches);
    expect(both(metric)).toBe(two);
  });

  it('does not say twice what stands in both', () => {
    for (const sentence of ['It weighs 3.63 kg (8 lb).', '1150 °C (2100 °F)', 'a side of 152 mm (5.98 in)']) {
      expect(both(sentence)).toBe(sentence);
    }
    expect(imperial('It weighs 3.63 kg (8 lb), or 1 kg (2.2 lb).')).toBe('It weighs 8 lb, or 2.2 lb.');
  });

  it.each([
    'Limits: 0.05 mg/m³ over 8 h (OSHA 1910.1053), 0.1 mg/m³ (UK).',
    'prints 8.2 g/cm³; the metal enters at 0.5 m/s',
    'The file "bracket 40 mm.stl" is read in mm.',
    '5 in, 3 lb and 2000 °F; 60–80 %; C90300 and 319.0; 45° and 3 makes 2 givers',
    'a number of 12 metres',
  ])('leaves alone: %s', (sentence) => {
    expect(imperial(sentence)).toBe(sentence);
    expect(both(sentence)).toBe(sentence);
  });

  it('takes a long sentence in linear time', () => {
    const sentence = `${'1 '.repeat(50_000)}${'2 × '.repeat(50_000)} mm`;
    expect(imperial(sentence)).toBe(sentence);
  });
});
