import { cache } from 'react'
import { found, idOf } from '@/app/_parts/found.ts'
import { orderRead } from '@/lib/db/buying.ts'

export type OrderView = Awaited<ReturnType<typeof orderRead>>

/** The order of an address, read once for the title and the screen. */
export const orderOf = cache((text: string): Promise<OrderView> => found(orderRead(idOf(text))))
