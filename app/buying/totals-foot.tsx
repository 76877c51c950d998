import { type Totals, taxSays } from '@/lib/invoice/tax.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import styles from './buying.module.css'
import { DepositsFoot } from './deposit-beside.tsx'

/** Goods, carriage, tax and what it comes to, each apart. */
export function TotalsFoot({ totals, currency }: { totals: Totals; currency: string }) {
  const { goodsMinor, carriageMinor, depositsMinor, taxThousandths, taxMinor, totalMinor } = totals
  const money = (minor: number) => <span className="strong">{moneyFormat(minor, currency)}</span>
  return (
    <>
      <div className={styles.foot}>
        <p>Goods {money(goodsMinor)}</p>
        <p>{carriageMinor === 0 ? 'Carriage paid' : <>Carriage {money(carriageMinor)}</>}</p>
        {taxThousandths === null ? null : (
          <p>
            Tax {taxSays(taxThousandths)} {money(taxMinor)}
          </p>
        )}
        <DepositsFoot depositsMinor={depositsMinor} currency={currency} />
        <p>Total {money(totalMinor)}</p>
      </div>
      {taxThousandths === null ? null : <p className="soft small">Prices, goods and carriage are without tax.</p>}
    </>
  )
}
