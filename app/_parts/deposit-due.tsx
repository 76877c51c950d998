import { depositDueSays } from '@/lib/deposit/deposit-text.ts'
import { todayIs } from './today.ts'

/** When an old unit must be back; pressing by word and by shape, never by colour alone. */
export function DepositDue({ on }: { on: string | null }) {
  const { shape, words, presses } = depositDueSays(on, todayIs())
  return (
    <span className={presses ? 'strong' : undefined}>
      <span aria-hidden="true">{shape} </span>
      {words}
    </span>
  )
}
