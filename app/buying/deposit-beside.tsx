import { depositSays } from '@/lib/deposit/deposit-text.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { settingsRead } from '@/lib/settings.ts'

/** The deposit on one piece under its price: it comes back, and is no part of what the goods cost. */
export function DepositBeside({ depositMinor, currency }: { depositMinor: number | null; currency: string }) {
  if (depositMinor === null) return null
  return (
    <span className="small">
      <br />+ {moneyFormat(depositMinor, currency)} deposit
    </span>
  )
}

/** The deposits of a whole order, apart from its goods. */
export function DepositsFoot({ depositsMinor, currency }: { depositsMinor: number; currency: string }) {
  if (depositsMinor === 0) return null
  return (
    <p>
      Deposits, until the old units are back <span className="strong">{moneyFormat(depositsMinor, currency)}</span>
    </p>
  )
}

/** What receiving an exchange part brings with it. */
export function DepositOnReceipt({ line }: { line: { depositMinor: number | null; returnDays: number | null } }) {
  const { depositMinor, returnDays } = line
  if (depositMinor === null) return null
  return (
    <span className="small">
      <br />
      Exchange part: each piece {depositSays({ depositMinor, returnDays }, settingsRead().currency)}.
    </span>
  )
}
