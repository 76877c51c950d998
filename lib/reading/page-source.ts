import { open, readFile, stat } from 'node:fs/promises'
import { basename } from 'node:path'
import type { PDFDocumentProxy } from 'pdfjs-dist'
import { Refusal } from '../refusal.ts'
import type { SourceFacts } from './message.ts'
import type { MadePage } from './page-made.ts'
import { pdfOpen, pdfPage } from './page-pdf.ts'
import { rasterPage, rasterPages } from './page-raster.ts'
import { svgPage } from './page-svg.ts'
import { KIND_BYTES, sourceFound, sourceKind } from './source-kind.ts'

/** Megabytes of a file by what it holds: a parts book may be thick, a single scan may not. */
const MEGABYTES_MAX = { pdf: 200, raster: 100, svg: 20 } as const

interface OpenSource {
  facts: SourceFacts
  /** Tells that the file on the disk is still the one that was opened. */
  mark: string
  page: (page: number) => Promise<MadePage>
  close: () => Promise<void>
}

/** The file opened last stays open: people read a parts book page after page. */
let current: { path: string; source: OpenSource } | null = null

async function fileHead(path: string, file: string): Promise<{ head: Uint8Array; size: number; mark: string }> {
  const facts = await stat(path).catch(() => null)
  if (!facts?.isFile()) throw new Refusal('page/no-file', { file })
  const handle = await open(path).catch(() => {
    throw new Refusal('page/no-file', { file })
  })
  try {
    const head = new Uint8Array(Math.min(KIND_BYTES, facts.size))
    const { bytesRead } = await handle.read(head)
    return { head: head.subarray(0, bytesRead), size: facts.size, mark: `${facts.size} ${facts.mtimeMs} ${facts.ino}` }
  } finally {
    await handle.close()
  }
}

async function sourceMake(path: string): Promise<OpenSource> {
  const name = basename(path)
  const { head, size, mark } = await fileHead(path, name)
  const told = sourceKind(head)
  if (told === null) throw new Refusal('page/wrong-type', { file: name, found: sourceFound(head) })
  const { kind } = told
  const limit = MEGABYTES_MAX[kind]
  if (size > limit * 1e6)
    throw new Refusal('page/too-heavy', { file: name, what: `${Math.ceil(size / 1e6)} MB`, limit: `${limit} MB` })
  const bytes = new Uint8Array(await readFile(path))
  if (kind === 'pdf') {
    const pdf: PDFDocumentProxy = await pdfOpen(bytes, name)
    return {
      facts: { kind, pages: pdf.numPages, name },
      mark,
      page: (page) => pdfPage(pdf, name, page),
      close: () => pdf.loadingTask.destroy(),
    }
  }
  const pages = kind === 'svg' ? 1 : await rasterPages(bytes, name)
  return {
    facts: { kind, pages, name },
    mark,
    page: (page) => (kind === 'svg' ? svgPage(bytes, name) : rasterPage(bytes, name, page)),
    close: async () => {},
  }
}

async function source(path: string): Promise<OpenSource> {
  if (current?.path === path && (await fileHead(path, basename(path))).mark === current.source.mark)
    return current.source
  await pageSourceClose()
  const made = await sourceMake(path)
  current = { path, source: made }
  return made
}

/** Lets go of the file that was opened last. */
export async function pageSourceClose(): Promise<void> {
  const last = current
  current = null
  await last?.source.close()
}

/**
 * What a file holds, told from its content. Refuses with 'page/no-file', 'page/wrong-type', 'page/too-heavy',
 * 'page/locked' and 'page/broken'. Opens the file in this process: screens ask source.ts, which does it in another.
 */
export async function pageSourceFacts(path: string): Promise<SourceFacts> {
  return (await source(path)).facts
}

/** One page, counted from 1, made ready for reading. Refuses also with 'page/no-such-page' and 'page/too-large'. */
export async function pageSourcePage(path: string, page: number): Promise<MadePage> {
  const { facts, page: make } = await source(path)
  if (!Number.isInteger(page) || page < 1 || page > facts.pages)
    throw new Refusal('page/no-such-page', { file: facts.name, page, pages: facts.pages })
  return make(page)
}
