import { Field, SelectField } from '@/app/_server/field.tsx'
import type { PickBatch } from '@/lib/job/pick-list.ts'
import { quantityFormat, type StockUnit } from '@/lib/measure/quantity.ts'
import { BATCH_NOT_KNOWN, type BatchRule, batchesKept, batchSays, isExpired, monthsLater } from '@/lib/stock/batch.ts'
import { lotFirst } from '@/lib/stock/batch-scan.ts'
import { ExpiredKept } from './expired-kept.tsx'
import { ScanField } from './scan/scan-field.tsx'

/** Batch number and use-by date of what comes in, where the part asks for them. */
export function BatchFields(props: {
  rule: BatchRule
  /** The number of the part, for those who listen. */
  of: string
  partId: number
  today: string
  /** Behind the names of the fields in a form of several lines. */
  line?: number
  /** Nobody may know any more: a find, a return. */
  notKnown?: boolean
}) {
  const { rule, of, partId, today, line, notKnown = false } = props
  if (!batchesKept(rule)) return null
  const at = line === undefined ? '' : `.${line}`
  const usual = rule.shelfLifeMonths
  const named = <span className="visually-hidden"> of {of}</span>
  return (
    <div className="stack tight" data-scan-part={partId}>
      <ScanField
        want="batch"
        says={
          <>
            Scan<span className="visually-hidden"> the maker’s code on the pack{named}</span>
          </>
        }
      >
        {rule.asksBatch ? (
          <Field
            name={`batch${at}`}
            label={<>Batch number{named}</>}
            hint={notKnown ? `As on the pack; “${BATCH_NOT_KNOWN}” where nobody can read it any more.` : undefined}
            maxLength={40}
            autoComplete="off"
            enterKeyHint="next"
          />
        ) : null}
        <Field
          name={`useBy${at}`}
          type="date"
          label={
            <>
              Use by{named}
              {rule.asksUseBy ? '' : ' (may be left empty)'}
            </>
          }
          hint={usual === null ? undefined : `Set from the usual life of ${usual} months; the date on the pack counts.`}
          defaultValue={usual === null ? undefined : monthsLater(today, usual)}
        />
      </ScanField>
      <ExpiredKept name={`expiredKept${at}`} />
    </div>
  )
}

/** Which batch goes out: the first to expire is set, another one can be chosen or scanned. */
export function BatchOutField(props: {
  lots: readonly (PickBatch & { bin: string; quantity: number })[]
  unit: StockUnit
  today: string
  /** Taken for use: an expired one needs a reason. */
  use: boolean
  partId: number
  /** The number of the part, for those who listen. */
  of: string
  /** False: nothing is used up yet, so that no reason is asked for. */
  why?: boolean
}) {
  const { lots, unit, today, use, partId, of, why = use } = props
  if (lots.length === 0) return null
  const batches = new Map(lots.map((lot) => [lot.id, lot]))
  const first = lotFirst(lots, today, use)
  const isOneBin = new Set(lots.map((lot) => lot.bin)).size === 1
  const says = (lot: PickBatch) =>
    `${batchSays(lot)}${isExpired(lot.expiresOn, today) ? ', expired' : ''} (${lots
      .filter((one) => one.id === lot.id)
      .map((one) => `${quantityFormat(one.quantity, unit)} in ${one.bin}`)
      .join(', ')})`
  return (
    <div className="stack tight" data-scan-part={partId}>
      <ScanField
        want="batch"
        says={
          <>
            Scan<span className="visually-hidden"> the maker’s code on the pack of {of}</span>
          </>
        }
      >
        <SelectField name="batchId" label="Batch" defaultValue="">
          <option value="">
            {first && isOneBin
              ? `First expired, first out: ${batchSays(first)}`
              : `The earliest use-by date in the bin${use ? ' that is not past' : ''}`}
          </option>
          {[...batches.values()].map((lot) => (
            <option
              key={lot.id}
              value={lot.id}
              data-code={lot.code}
              data-use-by={lot.expiresOn ?? ''}
              data-first={lot.id === first?.id ? '' : undefined}
            >
              {says(lot)}
            </option>
          ))}
        </SelectField>
      </ScanField>
      {why && lots.some((lot) => isExpired(lot.expiresOn, today)) ? (
        <Field
          name="expiredWhy"
          label="Why an expired one, where one is taken"
          hint="Seals, sealants and greases past their date may fail: the maker’s sheet says whether they may still be used."
          maxLength={200}
          autoComplete="off"
        />
      ) : null}
    </div>
  )
}

/** Which batch comes back, of those that were here. */
export function BatchBackField({ rule, known }: { rule: BatchRule; known: readonly PickBatch[] }) {
  if (!batchesKept(rule)) return null
  const codes = known.filter((batch) => batch.code !== BATCH_NOT_KNOWN)
  return (
    <SelectField name="batch" label="Batch" defaultValue={codes.length === 1 ? codes[0]!.code : ''}>
      <option value="">Choose the batch on the pack</option>
      {codes.map((batch) => (
        <option key={batch.id} value={batch.code}>
          {batchSays(batch)}
        </option>
      ))}
      <option value={BATCH_NOT_KNOWN}>Not known</option>
    </SelectField>
  )
}
