import type { ScanReply } from '@/app/scan/route.ts'
import type { ScannedBatch } from '@/lib/label/scanned.ts'
import { lotScanned } from '@/lib/stock/batch-scan.ts'
import { fieldSet, rowShow } from './scanned.ts'

/** Puts what was scanned into the field of `place`, and answers what there is to say about it. */
export function scanUsed(place: HTMLElement, reply: ScanReply): ScanReply | null {
  const { thing, fits, href, batch } = reply
  if (place.dataset.scanWant === 'batch') return batch && fits ? packUsed(place, reply, batch) : reply
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

/** Batch number and date of a pack into their fields, unless the code is of another part than the form. */
function packUsed(place: HTMLElement, reply: ScanReply, { code, useBy }: ScannedBatch): ScanReply {
  const partId = place.closest<HTMLElement>('[data-scan-part]')?.dataset.scanPart
  if (reply.thing?.kind === 'part' && partId !== undefined && String(reply.thing.id) !== partId)
    return { ...reply, fits: false, says: `${reply.says} That is another part: look at the pack again.` }
  const select = place.querySelector('select')
  if (select) return lotUsed(select, reply, { code, useBy })
  const batch = place.querySelector<HTMLInputElement>('input[name^="batch"]')
  const day = place.querySelector<HTMLInputElement>('input[name^="useBy"]')
  if (batch && code !== '') fieldSet(batch, code)
  if (day && useBy !== '') fieldSet(day, useBy)
  const first = batch ?? day
  first?.focus()
  return reply
}

/** The pack in hand is chosen among the batches that may go out; one that is not among them, or should not go yet, is said to be so. */
function lotUsed(select: HTMLSelectElement, reply: ScanReply, batch: ScannedBatch): ScanReply {
  const lots = [...select.options]
    .filter((option) => option.value !== '')
    .map(({ value, dataset }) => ({
      id: Number(value),
      code: dataset.code ?? '',
      expiresOn: dataset.useBy || null,
      isFirst: dataset.first !== undefined,
    }))
  const { id, says } = lotScanned(
    lots,
    lots.find((lot) => lot.isFirst),
    batch,
  )
  select.focus()
  if (id !== null) fieldSet(select, String(id))
  return { ...reply, fits: id !== null, href: null, says: [reply.says, says].filter(Boolean).join(' ') }
}
