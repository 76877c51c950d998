import { describe, expect, test } from 'vitest'
import { wetMethodPairsPerWeekMax } from '../../lib/companion/cautions.ts'
import { axleLead } from '../../lib/companion/tyre-lead.ts'
import { castleNutSplitPin } from '../../lib/fastener/castle-nut.ts'
import { clevisPinSize } from '../../lib/fastener/clevis-pin.ts'
import { cotterInchForBolt, cotterInchForClevis, cotterInchSize } from '../../lib/fastener/cotter-inch.ts'
import { GREASE_FIRST_FILL, greaseGrams, greaseOunces } from '../../lib/fastener/grease.ts'
import { LOCKING_NUT_REMOVALS_TESTED, lockingNutLimits } from '../../lib/fastener/locking-nut.ts'
import { proofLoadN, propertyClassStrength, tensileLoadN } from '../../lib/fastener/property-class.ts'
import {
  splitPinForBolt,
  splitPinForClevis,
  splitPinForHole,
  splitPinRange,
  splitPinSize,
} from '../../lib/fastener/split-pin.ts'
import { threadParse, threadStressAreaMm2 } from '../../lib/fastener/thread.ts'
import { boltTightening } from '../../lib/fastener/tightening.ts'
import {
  NM_PER_LBF_FT,
  nutFactorOfSurface,
  preloadN,
  torqueForTreatment,
  torqueLbfFtOfPreload,
  torqueNmOfPreload,
  torqueWithExtensionNm,
} from '../../lib/fastener/torque.ts'
import { WHEEL_NUT_RECHECK, wheelNutSequence } from '../../lib/fastener/wheel-nut-sequence.ts'
import { type HandbookCase, needReference, readHandbook } from '../support/reference.ts'

type Inputs = Record<string, never> & Record<string, unknown>
const n = (inputs: Record<string, unknown>, key: string): number => {
  const value = inputs[key]
  if (typeof value !== 'number') throw new Error(`${key} is no number`)
  return value
}
const s = (inputs: Record<string, unknown>, key: string): string => {
  const value = inputs[key]
  if (typeof value !== 'string') throw new Error(`${key} is no text`)
  return value
}
const list = (inputs: Record<string, unknown>, key: string): unknown[] => {
  const value = inputs[key]
  if (!Array.isArray(value)) throw new Error(`${key} is no list`)
  return value
}

/** By the words an id begins with: how the project answers that case. The longest that fits is taken. */
const RUN: Record<string, (inputs: Inputs, id: string) => unknown> = {
  'splitpin-dim-': (i) => {
    const pin = splitPinSize(n(i, 'nominal_mm'))
    return {
      hole_mm: pin.nominalMm,
      d_min_mm: pin.bodyMmMin,
      d_max_mm: pin.bodyMmMax,
      head_c_min_mm: pin.headMmMin,
      head_c_max_mm: pin.headMmMax,
    }
  },
  'splitpin-len-': (i) => {
    const pin = splitPinSize(n(i, 'nominal_mm'))
    return { length_min_mm: pin.lengthMmMin, length_max_mm: pin.lengthMmMax }
  },
  'splitpin-range-': (i) => {
    const range = splitPinRange(n(i, 'nominal_mm'))
    return {
      bolt_over_mm: range.boltMmOver,
      bolt_upto_mm: range.boltMmUpTo,
      clevis_over_mm: range.clevisMmOver,
      clevis_upto_mm: range.clevisMmUpTo,
    }
  },
  'splitpin-for-bolt-': (i) => splitPinForBolt(n(i, 'thread_mm')).nominalMm,
  'splitpin-for-clevis-': (i) => splitPinForClevis(n(i, 'pin_mm')).nominalMm,
  'splitpin-for-hole-': (i) => splitPinForHole(n(i, 'hole_mm')).nominalMm,
  'clevis-': (i) => {
    const pin = clevisPinSize(n(i, 'pin_mm'))
    return {
      split_pin_hole_mm: pin.splitPinHoleMm,
      end_to_hole_min_mm: pin.endToHoleMmMin,
      head_diameter_mm: pin.headMm,
      head_height_mm: pin.headHeightMm,
    }
  },
  'castle-': (i) => {
    const nut = castleNutSplitPin(threadParse(s(i, 'thread')).diameterMm)
    return (
      nut && {
        split_pin_mm: nut.splitPinMm,
        split_pin_length_mm: nut.splitPinLengthMm,
        slot_min_mm: nut.slotMmMin,
        slot_max_mm: nut.slotMmMax,
      }
    )
  },
  'cotter-inch-': (i) => {
    const pin = cotterInchSize(s(i, 'nominal_in'))
    return { hole_in: pin.holeIn, shank_min_in: pin.shankInMin, shank_max_in: pin.shankInMax }
  },
  'clevis-inch-': (i) => {
    const pin = cotterInchForClevis(s(i, 'pin_in'))
    return { cotter_in: pin.cotter.nominalIn, hole_min_in: pin.holeInMin, hole_max_in: pin.holeInMax }
  },
  'bolt-inch-': (i) => {
    const cotter = cotterInchForBolt(s(i, 'thread_in'))
    return { cotter_in: cotter.nominalIn, hole_in: cotter.holeIn }
  },
  'stress-area-': (i) => threadStressAreaMm2({ diameterMm: n(i, 'd_mm'), pitchMm: n(i, 'pitch_mm'), coarse: true }),
  'proof-stress-': (i) => propertyClassStrength(s(i, 'class'), /^d>/.test(s(i, 'diameter')) ? 16.01 : 16).proofMPa,
  'proof-load-': (i) => proofLoadN(s(i, 'class'), threadParse(s(i, 'thread'))),
  'tensile-load-': (i) => tensileLoadN(s(i, 'class'), threadParse(s(i, 'thread'))),
  'torque-KdF-': (i) => {
    const thread = threadParse(s(i, 'thread'))
    const preload = preloadN(s(i, 'class'), thread, n(i, 'preload_fraction_of_proof'), n(i, 'stress_area_mm2'))
    return {
      preload_N: preload,
      torque_dry_Nm: torqueNmOfPreload(n(i, 'K_dry'), thread.diameterMm, preload),
      torque_antiseize_Nm: torqueNmOfPreload(n(i, 'K_antiseize'), thread.diameterMm, preload),
    }
  },
  'nut-factor-': (i) => nutFactorOfSurface(s(i, 'condition')),
  'torque-grade': (i) => list(i, 'K').map((k) => torqueLbfFtOfPreload(Number(k), n(i, 'd_in'), n(i, 'preload_lbf'))),
  'torque-lub-ratio': (i) => {
    const treated = torqueForTreatment(n(i, 'torque_dry_Nm'), 'dry', 'anti-seize')
    expect([treated.stated.k, treated.treated.k]).toEqual([n(i, 'K_dry'), n(i, 'K_antiseize')])
    return treated.torqueNm
  },
  'torque-extension': (i) => torqueWithExtensionNm(n(i, 'set_Nm'), n(i, 'L1_mm'), n(i, 'L2_mm')),
  'torque-unit': () => NM_PER_LBF_FT,
  vdi2230: (i) => {
    const thread = threadParse(s(i, 'thread'))
    const kn: Record<string, number> = {}
    const nm: Record<string, number> = {}
    for (const propertyClass of list(i, 'classes').map(String)) {
      const bolt = boltTightening({
        propertyClass,
        thread,
        frictionThread: n(i, 'mu_thread'),
        frictionHead: n(i, 'mu_head'),
      })
      kn[propertyClass] = bolt.preloadN / 1000
      nm[propertyClass] = bolt.torqueNm
    }
    return { FM_kN: kn, MA_Nm: nm }
  },
  'grease-': (i) => greaseGrams(n(i, 'D_mm'), n(i, 'B_mm')),
  'grease-inch-': (i) => greaseOunces(n(i, 'D_in'), n(i, 'B_in')),
  'grease-initial-fill': () => ({
    bearing_free_space_pct: GREASE_FIRST_FILL.bearingSpacePercent,
    housing_free_space_pct: GREASE_FIRST_FILL.housingSpacePercent,
  }),
  'tyre-lead-': (i) => {
    const lead = axleLead({
      frontRollingM: n(i, 'rc_front_m'),
      rearRollingM: n(i, 'rc_rear_m'),
      axleRatio: n(i, 'ratio'),
    })
    return { lead_pct: lead.percent, ok_1_to_5: lead.usual }
  },
  'wheelnut-seq-': (i) => wheelNutSequence(n(i, 'studs')),
  'wheelnut-retorque': () => ({
    after_min: WHEEL_NUT_RECHECK.standingMinutes,
    or_after_km: [WHEEL_NUT_RECHECK.roadKmMin, WHEEL_NUT_RECHECK.roadKmMax],
  }),
  'prevailing-nut-temp': () => {
    const limits = (kind: 'all-metal' | 'plastic-insert') => [
      lockingNutLimits(kind).celsiusMin,
      lockingNutLimits(kind).celsiusMax,
    ]
    return { all_metal_C: limits('all-metal'), plastic_insert_C: limits('plastic-insert') }
  },
  'prevailing-nut-cycles': () => ({ removals_tested: [...LOCKING_NUT_REMOVALS_TESTED] }),
  'osha-wet-method-limit': () => wetMethodPairsPerWeekMax(),
}

function runnerOf(id: string) {
  const prefix = Object.keys(RUN)
    .filter((words) => id.startsWith(words))
    .sort((a, b) => b.length - a.length)[0]
  if (!prefix) throw new Error(`No way to run handbook case ${id}; add it to RUN.`)
  return RUN[prefix]!
}

function close(found: unknown, expected: unknown, tolerance: HandbookCase['tolerance'], where: string): void {
  if (typeof expected === 'number') {
    const allowed =
      typeof tolerance === 'string'
        ? Math.abs(expected) * 1e-9
        : Math.max(tolerance.abs ?? 0, (tolerance.rel ?? 0) * Math.abs(expected))
    expect(typeof found, where).toBe('number')
    expect(Math.abs(Number(found) - expected), `${where}: ${String(found)}, handbook ${expected}`).toBeLessThanOrEqual(
      allowed + 1e-12,
    )
  } else if (Array.isArray(expected)) {
    expect(found, where).toHaveLength(expected.length)
    expected.forEach((value, i) => {
      close((found as unknown[])[i], value, tolerance, `${where}[${i}]`)
    })
  } else if (expected !== null && typeof expected === 'object') {
    for (const [key, value] of Object.entries(expected))
      close((found as Record<string, unknown>)[key], value, tolerance, `${where}.${key}`)
  } else expect(found, where).toBe(expected)
}

describe('every fastener and practice case of the handbook is run', () => {
  for (const [area, least] of [
    ['A/fasteners', 200],
    ['E/practice', 10],
  ] as const) {
    test(`${area}: each value agrees with its standard`, (context) => {
      const cases = readHandbook(needReference(context, 'handbook.json')).filter((row) => row.area === area)
      expect(cases.length).toBeGreaterThanOrEqual(least)
      const faults: string[] = []
      for (const row of cases) {
        const run = runnerOf(row.id)
        try {
          const found = run(row.inputs as Inputs, row.id)
          if (row.tolerance === 'property')
            expect(new Set(found as number[])).toEqual(new Set(row.expected as number[]))
          else close(found, row.expected, row.tolerance, row.id)
        } catch (error) {
          faults.push(
            `${row.id} (${row.status}, ${row.source}): ${error instanceof Error ? error.message.split('\n')[0] : String(error)}`,
          )
        }
      }
      expect(faults).toEqual([])
    })
  }

  test('a case nobody knows how to run is a failure, not a gap', () => {
    expect(() => runnerOf('wing-nut-M8')).toThrow(/No way to run/)
  })
})
