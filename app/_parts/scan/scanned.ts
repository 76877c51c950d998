import type { ScanReply } from '@/app/scan/route.ts'
import type { ScanWant } from '@/lib/db/scan.ts'

/** Told to the field that the answer is for. */
const SCANNED = 'scanned'
const SCAN_FIELD = '[data-scan-want]'

const LOST: ScanReply = {
  thing: null,
  fits: false,
  says: 'The server did not answer. Check the network and scan again.',
  search: null,
  href: null,
}

export async function scanAsk(text: string, want: ScanWant): Promise<ScanReply> {
  try {
    const answer = await fetch(`/scan?${new URLSearchParams({ text, want })}`)
    return answer.ok ? ((await answer.json()) as ScanReply) : LOST
  } catch {
    return LOST
  }
}

export type Typed = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement

/** As if a person had chosen it: listeners of the field hear of it. */
export function fieldSet(field: Typed, value: string): void {
  // React keeps a value of its own behind the element's; only the setter of the class tells it.
  Object.getOwnPropertyDescriptor(Object.getPrototypeOf(field), 'value')?.set?.call(field, value)
  field.dispatchEvent(new Event(field instanceof HTMLSelectElement ? 'change' : 'input', { bubbles: true }))
}

function told(place: Element, reply: ScanReply): void {
  place.dispatchEvent(new CustomEvent(SCANNED, { detail: reply }))
}

/** A line of the page that is about the thing: what can be done there opens, and its first field waits for a number. */
export function rowShow({ thing }: ScanReply): boolean {
  const row = thing && document.querySelector<HTMLElement>(`main [data-scan-row="${thing.kind}-${thing.id}"]`)
  if (!row) return false
  const details = row.querySelector('details')
  if (details) details.open = true
  const field =
    row.querySelector<HTMLElement>('[data-scan-focus]') ??
    row.querySelector<HTMLElement>('input:not([type="hidden"]), select') ??
    row.querySelector<HTMLElement>('button, a')
  row.scrollIntoView({ block: 'center' })
  field?.focus()
  if (field instanceof HTMLInputElement) field.select()
  return true
}

const wantOf = (place: HTMLElement) => place.dataset.scanWant as ScanWant

/** Something on the page was changed and not sent: leaving would lose it. */
function isHalfDone(): boolean {
  return [...document.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>('main input, main textarea')].some(
    (field) => field.type !== 'hidden' && field.value !== field.defaultValue,
  )
}

/**
 * A scanner that acts as a keyboard has typed `text`, anywhere on the page: it goes to where it belongs, and the field that was
 * in its way gets back what stood there before.
 */
export async function scannedTyped(text: string, near: Typed | null, before: string): Promise<void> {
  if (near) fieldSet(near, before)
  const frame = document.querySelector<HTMLElement>(`header ${SCAN_FIELD}`)
  const mine = near?.closest<HTMLElement>(SCAN_FIELD)
  if (mine && mine !== frame) {
    told(mine, await scanAsk(text, wantOf(mine)))
    return
  }
  const all = [...document.querySelectorAll<HTMLElement>(`main ${SCAN_FIELD}`)]
  const shown = all.filter((place) => place.checkVisibility())
  const reply = await scanAsk(text, shown.length === 1 ? wantOf(shown[0]!) : 'any')
  const packs = shown.filter((place) => wantOf(place) === 'batch')
  if (reply.batch && packs.length === 1) {
    told(packs[0]!, { ...reply, fits: true })
    return
  }
  if (rowShow(reply)) return
  const fitting = shown.filter((place) => wantOf(place) === reply.thing?.kind)
  const place = fitting.length === 1 ? fitting[0] : shown.length === 1 ? shown[0] : undefined
  if (place) told(place, reply)
  else if (frame) {
    const says =
      fitting.length > 1 ? `${reply.says} Several fields here take it: go to one and scan again.` : reply.says
    told(frame, { ...reply, says, fits: reply.fits && fitting.length === 0 && !isHalfDone() })
  }
}
