import { randomSeeded } from '../../lib/maths/random.ts'
import type { PageTruth } from './truth.ts'

export const GROUPS = [
  /** The reference drawings as they are. */
  'clean',
  /** Turned, soiled and resampled copies of them. */
  'degraded',
  /** Pages of a printed parts book, drawn from the demo's figures. */
  'demo',
  'demo-degraded',
  /** Drawing-office sheets of invented machines. */
  'own',
  'own-degraded',
  /** Pages that are no parts pages. */
  'none',
] as const
export type Group = (typeof GROUPS)[number]

export interface Picture {
  bytes: Buffer
  extension: 'png' | 'jpg'
  truth: PageTruth
  /** Pixels to the inch the page would have on its own paper. */
  dpi: number
}

export interface PageCase {
  name: string
  group: Group
  /** Copies of one page share it, so that a page and its copies fall into the same half. */
  base: string
  /** What sets the page apart, in words for the report. */
  about: string
  make: () => Promise<Picture>
}

export type Half = 'develop' | 'held-out'

/** Half of the pages may be looked at while a reader is made better; the other half only ever gives the mark. */
export const halfOf = (base: string): Half => (randomSeeded(`half of ${base}`)() < 0.5 ? 'develop' : 'held-out')
