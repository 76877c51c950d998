import type { PageReader } from '@/lib/db/page-reader.ts'
import { pageReadFile } from '@/lib/reading/page-file.ts'
import { pagePicture, sourceOpen } from '@/lib/reading/source.ts'

/** The reader of the desk: a process of its own opens the files and reads the pages. */
export const pageReader: PageReader = { open: sourceOpen, picture: pagePicture, read: pageReadFile }
