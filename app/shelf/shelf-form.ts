import { z } from 'zod'
import { moneyParse } from '@/lib/measure/money.ts'
import { quantityParse, TYPED_UNITS } from '@/lib/measure/quantity.ts'
import { countReasonIs } from '@/lib/stock/count-reasons.ts'
import { forIsSaid } from '@/lib/stock/for-what.ts'
import { cameTyped } from '@/lib/stock/pack-schema.ts'
import {
  CountSheetInput,
  Id,
  IssueInput,
  quantityTyped,
  ReceiveInput,
  ReturnInput,
  ScrapInput,
  TransferInput,
} from '@/lib/stock/schema.ts'

/** The forms of the shelf as they are sent: quantities as typed, with the unit that was shown, money in whole units. */
const Unit = z.enum(TYPED_UNITS)
const Typed = z.string({ error: 'enter how many' })
const Bin = z.coerce.number<string>({ error: 'choose a bin' }).int('choose a bin').positive('choose a bin')

/** What is said of the batch; a tick arrives as whatever the browser sends for it. */
const BATCH_FORM = {
  batch: z.string().optional(),
  useBy: z.string().optional(),
  expiredKept: z.string().optional(),
}

export const ReceiveForm = z
  .object({
    partId: Id,
    binId: Bin,
    unit: Unit,
    quantity: Typed,
    /** Minor units in the pack that was counted in. */
    pack: z.string().optional(),
    cost: z.string().optional(),
    reason: z.string().optional(),
    /** 'none' where no deposit was charged. */
    depositSupplier: z.string().optional(),
    deposit: z.string().optional(),
    ...BATCH_FORM,
  })
  .transform(({ unit, quantity, pack, cost, expiredKept, depositSupplier, deposit, ...form }, context) => {
    const isCharged = depositSupplier !== undefined && depositSupplier !== 'none'
    const depositMinor = isCharged ? moneyParse(deposit ?? '') : undefined
    if (isCharged && !depositMinor)
      context.addIssue({ code: 'custom', path: ['deposit'], message: 'enter the deposit on one piece, such as 65.00' })
    const costMinor = cost === undefined ? undefined : moneyParse(cost)
    if (costMinor === null)
      context.addIssue({ code: 'custom', path: ['cost'], message: 'enter an amount, such as 12.50' })
    return {
      ...form,
      ...(expiredKept === undefined ? {} : { expiredKept: true }),
      quantity: cameTyped(quantity, unit, pack, 'quantity', context),
      ...(typeof costMinor === 'number' ? { costMinor: costMinor as number } : {}),
      ...(depositMinor ? { depositSupplierId: Number(depositSupplier), depositMinor: depositMinor as number } : {}),
    }
  })
  .pipe(ReceiveInput)

const WITHOUT_JOB = {
  partId: Id,
  binId: Bin,
  unit: Unit,
  quantity: Typed,
  machineId: Id.optional(),
  costCentre: z.string().optional(),
  forPersonId: z.string().optional(),
  reason: z.string().optional(),
}

export const IssueForm = z
  .object({ ...WITHOUT_JOB, batchId: Id.optional(), expiredWhy: z.string().optional() })
  .transform(({ unit, quantity, ...form }, context) => {
    if (!forIsSaid(form)) context.addIssue({ code: 'custom', path: ['reason'], message: 'say what it is for' })
    return { ...form, quantity: quantityTyped(quantity, unit, 'quantity', context) }
  })
  .pipe(IssueInput)

export const ReturnForm = z
  .object({ ...WITHOUT_JOB, batch: z.string().optional() })
  .transform(({ unit, quantity, ...form }, context) => {
    if (!forIsSaid(form)) context.addIssue({ code: 'custom', path: ['reason'], message: 'say what it was for' })
    return { ...form, quantity: quantityTyped(quantity, unit, 'quantity', context) }
  })
  .pipe(ReturnInput)

export const ScrapForm = z
  .object({
    partId: Id,
    binId: Bin,
    unit: Unit,
    quantity: Typed,
    reason: z.string({ error: 'say why it is scrapped' }),
    batchId: Id.optional(),
  })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(ScrapInput)

const SHEET_FIELD = /^(counted|asOf|cut|unit|reason|words)\.(\d{1,15})\.(\d{1,15})$/
const Whole = z.coerce.number().int().min(0)

/**
 * A count sheet as it is sent: `counted.BIN.PART` with its unit, the movement number at which its bin was opened (`asOf`), and
 * where they were asked for the last movement before the count (`cut`) and why it differs. A field left blank is no count of
 * nothing: the line is left alone. What cannot be read goes along as null, so that it is refused on its own line.
 */
export const CountSheetForm = z
  .record(z.string(), z.unknown())
  .transform((form) => {
    const lines = new Map<string, Record<string, string>>()
    for (const [name, value] of Object.entries(form)) {
      const [, field, binId, partId] = SHEET_FIELD.exec(name) ?? []
      if (field === undefined || typeof value !== 'string') continue
      const at = `${binId} ${partId}`
      lines.set(at, { ...lines.get(at), [field]: value.trim() })
    }
    const whole = (field: string) => (typeof form[field] === 'string' ? form[field].trim() : '')
    return [...lines].flatMap(([at, line]) => {
      const unit = Unit.safeParse(line.unit)
      const [binId, partId] = at.split(' ').map(Number) as [number, number]
      if (!line.counted || !unit.success) return []
      const counted: number | null = quantityParse(line.counted, unit.data)
      const cut = Whole.safeParse(line.cut || 'none')
      // A reason of the line stands for itself, with its own words.
      const [code, words] = line.reason
        ? [line.reason, line.words ?? '']
        : [whole('reason'), line.words || whole('words')]
      const reasonCode = countReasonIs(code) ? code : null
      return [
        { binId, partId, counted, asOf: Number(line.asOf), cutId: cut.success ? cut.data : null, reasonCode, words },
      ]
    })
  })
  .pipe(CountSheetInput)

export const TransferForm = z
  .object({ partId: Id, fromBinId: Bin, toBinId: Bin, unit: Unit, quantity: Typed, batchId: Id.optional() })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(TransferInput)
