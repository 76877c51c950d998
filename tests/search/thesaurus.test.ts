import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { searchExpand, THESAURUS_GROUPS } from '../../lib/search/thesaurus.ts'
import { searchNormal } from '../../lib/search/words.ts'

const flat = (query: string) => searchExpand(query).flat()

describe('words of both sides of the ocean', () => {
  // Trade words of the United Kingdom and the United States: common practice, no source.
  test.each([
    ['split pin', 'cotter pin'],
    ['circlip', 'snap ring'],
    ['circlip', 'retaining ring'],
    ['hose clip', 'hose clamp'],
    ['spanner', 'wrench'],
    ['grub screw', 'set screw'],
    ['bonnet', 'hood'],
    ['tyre', 'tire'],
    ['petrol', 'gasoline'],
    ['earth', 'ground'],
    ['roll pin', 'spring pin'],
    ['wheel nut', 'lug nut'],
    ['silencer', 'muffler'],
    ['windscreen', 'windshield'],
    ['damper', 'shock absorber'],
    ['track rod', 'tie rod'],
    ['grease nipple', 'grease fitting'],
    ['paraffin', 'kerosene'],
    ['mudguard', 'fender'],
    ['castle nut', 'slotted nut'],
    ['bush', 'bushing'],
    ['aluminium', 'aluminum'],
  ])('%s and %s find each other', (british, american) => {
    expect(flat(british)).toContain(american)
    expect(flat(american)).toContain(british)
  })

  test('there are more than sixty groups, of two words at least, none twice in a group', () => {
    expect(THESAURUS_GROUPS.length).toBeGreaterThan(60)
    for (const group of THESAURUS_GROUPS) {
      expect(group.length).toBeGreaterThan(1)
      expect(new Set(group.map(searchNormal)).size, group.join()).toBe(group.length)
      expect(
        group.every((word) => searchNormal(word) === word),
        group.join(),
      ).toBe(true)
    }
  })
})

describe('what is typed', () => {
  test('a phrase is read as one thing, what is around it stays', () => {
    expect(searchExpand('new split pin M16')).toEqual([
      ['new'],
      expect.arrayContaining(['split pin', 'cotter pin']),
      ['m16'],
    ])
  })

  test('plurals, capitals, marks and hyphens find the same', () => {
    expect(flat('Split Pins')).toContain('cotter pin')
    expect(flat('BUSHES')).toContain('bushing')
    expect(flat('flail knives')).toContain('flail blade')
    expect(flat('O-rings')).toContain('oring')
    expect(flat('V-belt')).toContain('fan belt')
    expect(flat('Tÿre')).toContain('tire')
    expect(flat('grease nipples')[0]).toBe('grease nipples')
  })

  test('a word of two meanings gives both', () => {
    expect(flat('cylinder')).toEqual(expect.arrayContaining(['hydraulic cylinder']))
    expect(flat('collar')).toEqual(expect.arrayContaining(['spacer', 'distance piece']))
    expect(flat('shackle')).toContain('clevis')
  })

  test('part numbers keep their hyphens and points; nothing typed gives nothing', () => {
    expect(searchExpand('AB-12.3 6205-2RS')).toEqual([['ab-12.3'], ['6205-2rs']])
    expect(searchExpand(' -- , ')).toEqual([])
  })

  test('words nobody listed stand for themselves', () => {
    expect(searchExpand('quince press')).toEqual([['quince'], ['press']])
  })
})

describe('laws', () => {
  test('names of one thing always find each other', () => {
    for (const group of THESAURUS_GROUPS) {
      for (const word of group) expect(flat(word), word).toEqual(expect.arrayContaining([...group]))
    }
  })

  test('normalising twice is normalising once, and each typed word leads its own alternatives', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 40 }), (text) => {
        const normal = searchNormal(text)
        expect(searchNormal(normal)).toBe(normal)
        expect(
          searchExpand(text)
            .map(([typed]) => typed)
            .join(' '),
        ).toBe(normal)
      }),
      { seed: 81 },
    )
  })
})
