import { expect, test } from 'vitest';
import { fileName, guide, orders, usual } from './orders';

test('the file name of a download (forms of RFC 6266, section 5)', () => {
  expect(fileName('Attachment; filename=example.html')).toBe('example.html');
  expect(fileName('attachment; filename="Harbor Parade, Ines Okafor, part and walk.pdf"')).toBe('Harbor Parade, Ines Okafor, part and walk.pdf');
  expect(fileName(`attachment; filename="EURO rates"; filename*=utf-8''%e2%82%ac%20rates`)).toBe('€ rates');
  expect(fileName(`attachment; filename="a.pdf"; filename*=utf-8''%zz`)).toBe('a.pdf');
  expect(fileName('attachment; filename="a \\"b\\".pdf"')).toBe('a "b".pdf');
  expect(fileName('')).toBe('');
});

test('Letter where it is in use', () => {
  expect([['en-US'], ['de-CH'], ['en-GB', 'en-US'], ['fr-CA'], []].map(usual)).toEqual(['letter', 'a4', 'a4', 'letter', 'a4']);
});

test('every contents of the paper once, and the guide', () => {
  expect(orders.map((o) => o.contents)).toEqual(['all', 'part', 'walk', 'lesson']);
  expect(guide.form).toBe('guide');
});
