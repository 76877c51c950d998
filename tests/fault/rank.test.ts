import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Candidate, likelyCallouts, mostFrequent, type PastJob } from '../../lib/fault/rank.ts'
import { symptomSaid, symptomWords } from '../../lib/fault/symptom-word.ts'

const shoe: Candidate = { key: 'brake/12', partClass: 'brake-shoe', words: symptomWords('Brake shoe') }
const spring: Candidate = { key: 'brake/9', partClass: 'return-spring', words: symptomWords('Return spring') }
const bearing: Candidate = { key: 'hub/3', partClass: 'bearing', words: symptomWords('Taper roller bearing') }
const bearingOuter: Candidate = {
  key: 'hub/5',
  partClass: 'bearing',
  words: symptomWords('Taper roller bearing, outer'),
}
const all = [shoe, spring, bearing, bearingOuter]

let number = 0
const job = (complaint: string, ...found: Candidate[]): PastJob => ({
  id: ++number,
  words: symptomWords(complaint),
  weight: 1,
  found: found.map(({ key, partClass }) => ({ key, partClass })),
})
const order = (complaint: string, past: PastJob[], candidates = all) =>
  likelyCallouts(symptomWords(complaint), candidates, past).map(({ key }) => key)

describe('a complaint is heard for what it tells', () => {
  test('words of one meaning are one: drags, binding and sticks; the side says where, not what', () => {
    expect(symptomWords('Left brake drags')).toEqual(symptomWords('brakes are binding'))
    expect(symptomWords('near side brake sticks')).toEqual(symptomWords('brake jams'))
  })
  test('it is shown as it was said', () => {
    expect(symptomSaid('The brake is dragging').map(({ said }) => said)).toEqual(['brake', 'dragging'])
  })
  test('small words and hours tell nothing', () => {
    expect(symptomWords('and it was on 1200 again')).toEqual([])
  })
})

describe('likely callouts', () => {
  const past = [
    job('brake drags on the way home', shoe),
    job('brake binds', shoe),
    job('brake sticks, drum warm', shoe, spring),
    job('rumbles on the road', bearing),
    job('hub rumbles and gets hot', bearing),
  ]
  test('what told of the same stands first, with the jobs that say so, most alike first', () => {
    const [first] = likelyCallouts(symptomWords('brake is binding'), all, past)
    expect(first?.key).toBe(shoe.key)
    expect(first?.jobs).toEqual([past[2]!.id, past[1]!.id, past[0]!.id].filter((id) => first!.jobs.includes(id)))
    expect(first?.jobs).toHaveLength(3)
  })
  test('one job does not shout: nine drags of the shoe outweigh the last one of the spring', () => {
    const nine = Array.from({ length: 9 }, () => job('brake drags', shoe))
    expect(order('brake drags', [...nine, job('brake drags', spring)])[0]).toBe(shoe.key)
  })
  test('a part that never failed is judged by its kind: the outer bearing comes before a cap without any history', () => {
    const cap: Candidate = { key: 'hub/1', partClass: 'cover', words: symptomWords('Dust cap') }
    const ranked = order('rumbles', past, [cap, ...all])
    expect(ranked[0]).toBe(bearing.key)
    expect(ranked.indexOf(bearingOuter.key)).toBeLessThan(ranked.indexOf(cap.key))
  })
  test('without any past job the name speaks', () => {
    expect(order('spring came off', [])[0]).toBe(spring.key)
  })
  test('words that nobody knows give what failed most often, and no reason', () => {
    const ranked = likelyCallouts(symptomWords('whistles'), all, past)
    expect(ranked[0]?.key).toBe(mostFrequent(all, past)[0])
    expect(ranked.every(({ because, jobs }) => because.length === 0 && jobs.length === 0)).toBe(true)
  })
  test('a like model counts for less than the model itself', () => {
    const like = Array.from({ length: 2 }, () => ({ ...job('drum squeals', spring), weight: 0.3 }))
    expect(order('drum squeals', [...like, job('drum squeals', shoe)])[0]).toBe(shoe.key)
  })
  test('shares are a belief over all candidates: none negative, one in all, whatever was told', () => {
    const word = fc.constantFrom('brake', 'drags', 'rumbles', 'hot', 'oil', 'spring', 'zzz')
    const told = fc.array(word, { maxLength: 5 }).map((words) => words.join(' '))
    const jobs = fc.array(
      fc.record({ told, found: fc.subarray(all, { minLength: 0 }), weight: fc.constantFrom(1, 0.6) }),
      { maxLength: 12 },
    )
    fc.assert(
      fc.property(told, jobs, (complaint, list) => {
        const pastJobs = list.map(({ told: words, found, weight }) => ({ ...job(words, ...found), weight }))
        const ranked = likelyCallouts(symptomWords(complaint), all, pastJobs)
        expect(ranked.map(({ key }) => key).sort()).toEqual(all.map(({ key }) => key).sort())
        expect(ranked.every(({ share }) => share >= 0)).toBe(true)
        expect(ranked.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9)
        // The order of the jobs on file does not matter.
        const turned = likelyCallouts(symptomWords(complaint), all, [...pastJobs].reverse())
        expect(turned.map(({ key }) => key)).toEqual(ranked.map(({ key }) => key))
      }),
    )
  })
})
