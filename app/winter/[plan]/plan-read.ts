import { notFound } from 'next/navigation'
import { queryId } from '@/app/_parts/query.ts'
import { winterCopyBegin } from '@/lib/db/winter-copy.ts'
import { type WinterStanding, winterStanding } from '@/lib/db/winter-run.ts'
import { isRefusal } from '@/lib/refusal.ts'

/** The plan of an address with its answer, which is kept once its season has begun; one that is not there is not found. */
export async function planOfAddress(text: string): Promise<WinterStanding> {
  const planId = queryId(text)
  if (planId === null) notFound()
  try {
    const now = new Date()
    const standing = await winterStanding(planId, now)
    await winterCopyBegin(standing, now)
    return standing
  } catch (error) {
    if (isRefusal(error) && error.code === 'winter/no-such') notFound()
    throw error
  }
}
