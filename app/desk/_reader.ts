import { after } from 'next/server'
import type { PageReader } from '@/lib/db/page-reader.ts'
import { pageReaderWarm, pageReadFile } from '@/lib/reading/page-file.ts'
import { pagePicture, sourceOpen } from '@/lib/reading/source.ts'

/** The reader of the desk: a process of its own opens the files and reads the pages. */
export const pageReader: PageReader = { open: sourceOpen, picture: pagePicture, read: pageReadFile }

/** Made ready while a person picks a file; what fails here is told by the reading itself. */
export function readerWarmed(): void {
  after(() => pageReaderWarm().catch(() => false))
}
