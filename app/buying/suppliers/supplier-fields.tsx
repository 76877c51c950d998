import { Field, TextField, Tick, TickGroup } from '@/app/_server/field.tsx'
import { WEEKDAYS } from '@/lib/buying/order-day.ts'
import type { SupplierFacts } from '@/lib/buying/supplier-schema.ts'
import { taxInput } from '@/lib/invoice/tax.ts'

const whole = (minor: number | null | undefined) => (minor ? (minor / 100).toFixed(2) : '')

/** All that is kept of a supplier, as fields of a form. */
export function SupplierFields(props: { facts?: SupplierFacts; currency: string; hasPrices?: boolean }) {
  const { facts, currency: home, hasPrices = false } = props
  const currency = facts?.currency ?? home
  const money = (
    name: 'minimumOrderMinor' | 'carriageMinor' | 'carriagePaidFromMinor',
    label: string,
    hint: string,
  ) => (
    <Field
      name={name}
      label={`${label}, ${facts ? currency : 'in its currency'}`}
      hint={hint}
      inputMode="decimal"
      className="input-number"
      autoComplete="off"
      defaultValue={whole(facts?.[name])}
    />
  )
  return (
    <>
      <Field name="name" label="Name" maxLength={80} autoComplete="off" defaultValue={facts?.name} />
      <Field
        name="contact"
        label="Contact"
        hint="Person, telephone."
        maxLength={200}
        autoComplete="off"
        defaultValue={facts?.contact ?? ''}
      />
      <Field
        name="email"
        label="E-mail for orders"
        type="text"
        inputMode="email"
        maxLength={200}
        autoComplete="off"
        defaultValue={facts?.email ?? ''}
      />
      <Field
        name="customerNumber"
        label="Our number with them"
        maxLength={60}
        autoComplete="off"
        defaultValue={facts?.customerNumber ?? ''}
      />
      <TickGroup
        name="orderDays"
        legend="Takes orders on (none ticked: any day)"
        options={WEEKDAYS.map((label, at) => ({ value: String(at + 1), label }))}
        ticked={facts?.orderDays.map(String)}
      />
      <Field
        name="leadTimeDays"
        label="Days from order to delivery, as they say"
        hint="Used until enough has come to know better."
        inputMode="numeric"
        className="input-number"
        autoComplete="off"
        defaultValue={facts ? String(facts.leadTimeDays) : ''}
      />
      {money('minimumOrderMinor', 'Least value of an order', 'Empty: none.')}
      {money('carriageMinor', 'Carriage on an order', 'Empty: none.')}
      {money('carriagePaidFromMinor', 'Carriage paid from a value of', 'Empty: always charged.')}
      <Field
        name="currency"
        label="Currency it asks"
        hint={`Three letters by ISO 4217, such as EUR. Empty: ${home}, the money of the workshop.`}
        maxLength={3}
        className="input-number"
        autoComplete="off"
        defaultValue={facts?.currency ?? ''}
      />
      {hasPrices ? (
        <Tick name="pricesMeant" label="If the currency is another one: the prices that are kept are meant in it" />
      ) : null}
      <Field
        name="discountHundredths"
        label="Discount on the prices of its lists, per cent"
        hint="Empty: none. The price of an offer outside lists is what is paid."
        inputMode="decimal"
        className="input-number"
        autoComplete="off"
        defaultValue={facts?.discountHundredths ? String(facts.discountHundredths / 100) : ''}
      />
      <Field
        name="taxThousandths"
        label="Tax on what it sells, per cent"
        hint="Empty: the rate of the workshop. 0 where it charges none. Prices are kept without tax."
        inputMode="decimal"
        className="input-number"
        autoComplete="off"
        defaultValue={typeof facts?.taxThousandths === 'number' ? taxInput(facts.taxThousandths) : ''}
      />
      <TextField name="note" label="Note" rows={3} maxLength={1000} defaultValue={facts?.note ?? ''} />
    </>
  )
}
