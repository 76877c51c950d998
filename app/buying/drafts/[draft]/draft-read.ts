import { cache } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { draftRead } from '@/lib/db/order-draft-read.ts'

/** The draft of an address, read once for the title and the screen. */
export const draftOf = cache((text: string) => found(draftRead(idOf(text), new Date())))
