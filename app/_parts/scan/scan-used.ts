import type { ScanReply } from '@/app/scan/route.ts'
import { fieldSet, rowShow } from './scanned.ts'

/** Puts what was scanned into the field of `place`, and answers what there is to say about it. */
export function scanUsed(place: HTMLElement, reply: ScanReply): ScanReply | null {
  const { thing, fits, href } = reply
  if (!thing || !fits) return reply
  if (place.dataset.scanWant === 'any') {
    if (!rowShow(reply) && href) location.assign(href)
    return null
  }
  const select = place.querySelector('select')
  if (select) {
    const isThere = [...select.options].some((option) => option.value === String(thing.id))
    if (!isThere) return { ...reply, fits: false, says: `${reply.says} It is not on this list.` }
    fieldSet(select, String(thing.id))
    select.focus()
    return reply
  }
  const input = place.querySelector('input')
  if (input) {
    fieldSet(input, thing.lead)
    input.form?.requestSubmit()
  }
  return reply
}
