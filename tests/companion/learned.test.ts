import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { LEARNED_LIMITS, learnedCompanions, type PastJob } from '../../lib/companion/learned.ts'
import { wilsonInterval } from '../../lib/maths/wilson.ts'

const [SEAL, BEARING, PIN, RAG] = [1, 2, 3, 4] as const
let job = 0
const past = (targets: number[], used: number[], declined: number[] = []): PastJob => {
  job += 1
  return { jobId: job, targets, used: [...targets, ...used], declined }
}

describe('what past jobs also used', () => {
  test('is offered with how often and how sure: five seals out of five took the bearing too', () => {
    const jobs = Array.from({ length: 5 }, () => past([SEAL], [BEARING]))
    const [only, ...more] = learnedCompanions([SEAL], jobs)
    expect(more).toEqual([])
    expect(only).toMatchObject({ partId: BEARING, targetPartId: SEAL, support: 5, together: 5, confidence: 1 })
    expect(only!.lower).toBe(wilsonInterval(5, 5).lower)
  })

  test('is not offered from three jobs, however much they agree', () => {
    expect(
      learnedCompanions(
        [SEAL],
        Array.from({ length: LEARNED_LIMITS.supportLeast - 1 }, () => past([SEAL], [BEARING])),
      ),
    ).toEqual([])
  })

  test('a rag taken once in ten jobs is no companion', () => {
    const jobs = [past([SEAL], [RAG]), ...Array.from({ length: 9 }, () => past([SEAL], []))]
    expect(learnedCompanions([SEAL], jobs)).toEqual([])
  })

  test('leaving it out teaches: the same share with a no on record is less sure, and at last not offered', () => {
    const used = Array.from({ length: 12 }, () => past([SEAL], [BEARING]))
    const silent = learnedCompanions([SEAL], [...used, past([SEAL], []), past([SEAL], [])])[0]!
    const refused = learnedCompanions([SEAL], [...used, past([SEAL], [], [BEARING]), past([SEAL], [])])[0]!
    expect(refused.declined).toBe(1)
    expect(refused.lower).toBeLessThan(silent.lower)
    const always = Array.from({ length: 14 }, () => past([SEAL], [], [BEARING]))
    expect(learnedCompanions([SEAL], [...used, ...always])).toEqual([])
  })

  test('what is already a target is not offered, and of two targets the surer one speaks', () => {
    const jobs = [
      ...Array.from({ length: 5 }, () => past([SEAL], [PIN])),
      past([SEAL], []),
      ...Array.from({ length: 6 }, () => past([BEARING], [PIN, SEAL])),
    ]
    const learned = learnedCompanions([SEAL, BEARING], jobs)
    expect(learned.map((one) => [one.partId, one.targetPartId])).toEqual([[PIN, BEARING]])
  })

  test('the order of jobs and targets changes nothing, and every offer keeps within its own counts', () => {
    const anyJob = fc.record({
      targets: fc.uniqueArray(fc.integer({ min: 1, max: 4 }), { maxLength: 2 }),
      used: fc.uniqueArray(fc.integer({ min: 1, max: 8 })),
      declined: fc.uniqueArray(fc.integer({ min: 1, max: 8 }), { maxLength: 2 }),
    })
    fc.assert(
      fc.property(
        fc.array(anyJob, { maxLength: 40 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 4 })),
        (raw, targets) => {
          const jobs = raw.map((one, jobId) => ({ ...one, jobId }))
          const learned = learnedCompanions(targets, jobs, { supportLeast: 2, lowerLeast: 0.2 })
          expect(
            learnedCompanions([...targets].reverse(), [...jobs].reverse(), { supportLeast: 2, lowerLeast: 0.2 }),
          ).toEqual(learned)
          for (const one of learned) {
            expect(targets).not.toContain(one.partId)
            expect(one.together).toBeLessThanOrEqual(one.support)
            expect(one.lower).toBeLessThanOrEqual(one.confidence)
            expect(one.support).toBe(jobs.filter((past) => past.targets.includes(one.targetPartId)).length)
          }
        },
      ),
    )
  })
})
