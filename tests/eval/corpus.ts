import { fileURLToPath } from 'node:url'
import { referencePath } from '../support/reference.ts'
import { caseDegraded, type Severity } from './degrade.ts'
import { demoPages } from './demo-pages.ts'
import { otherPages } from './other-pages.ts'
import { ownPages } from './own-pages.ts'
import type { Group, PageCase } from './page-case.ts'
import { referencePages } from './reference-pages.ts'

export const KINDS = ['clean', 'degraded', 'demo', 'own', 'none'] as const
export type Kind = (typeof KINDS)[number]

const ALL: readonly Severity[] = ['light', 'medium', 'heavy']

/** One worn copy a page, going through the severities in turn. */
const worn = (pages: readonly PageCase[], group: Group): PageCase[] =>
  pages.map((page, at) => caseDegraded(page, ALL[at % ALL.length]!, group))

export interface Corpus {
  pages: PageCase[]
  /** Why a kind is missing. */
  skipped: string[]
}

/** The pages of the wished kinds, nothing drawn yet; `fresh` is a seed for other drawn pages than those that give the mark. */
export function corpusOf(kinds: readonly Kind[], fresh = ''): Corpus {
  const pages: PageCase[] = []
  const skipped: string[] = []
  const folder = referencePath('figures')
  for (const kind of kinds) {
    if (kind === 'clean' || kind === 'degraded') {
      if (folder === null) {
        const where =
          process.env.COTTERBOOK_REFERENCE ?? fileURLToPath(new URL('../../../shared/reference', import.meta.url))
        skipped.push(`${kind}: no reference drawings in ${where}`)
      } else if (kind === 'clean') pages.push(...referencePages(folder))
      else
        for (const page of referencePages(folder))
          pages.push(...ALL.map((severity) => caseDegraded(page, severity, 'degraded')))
    } else if (kind === 'demo') pages.push(...demoPages(fresh), ...worn(demoPages(fresh), 'demo-degraded'))
    else if (kind === 'own') pages.push(...ownPages(fresh), ...worn(ownPages(fresh), 'own-degraded'))
    else pages.push(...otherPages())
  }
  return { pages, skipped }
}
