'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  depositBefore,
  depositGiveUp,
  offerDepositSet,
  oldUnitKeep,
  oldUnitMove,
  oldUnitNone,
  oldUnitScrap,
  returnAnswer,
  returnSend,
} from '@/lib/db/deposit.ts'
import {
  DepositBeforeForm,
  DepositGiveUpForm,
  OfferDepositForm,
  ReturnAnswerForm,
  ReturnSendInput,
  UnitKeepInput,
  UnitMoveInput,
  UnitNoneInput,
  UnitScrapInput,
} from '@/lib/deposit/schema.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { settingsRead } from '@/lib/settings.ts'

const money = (minor: number) => moneyFormat(minor, settingsRead().currency)
const lostSays = (lostMinor: number) => (lostMinor > 0 ? ` ${money(lostMinor)} of the deposit is lost.` : '')

export const setDeposit = action({
  right: 'buying.return',
  schema: OfferDepositForm,
  run: offerDepositSet,
  kind: 'deposit.offer',
  then: (_, { depositMinor }) => ({
    says: depositMinor === null ? 'No deposit is charged any more.' : 'Kept. Orders from now on have it.',
  }),
})

export const enterDeposit = action({
  right: 'buying.return',
  schema: DepositBeforeForm,
  run: depositBefore,
  kind: 'deposit.before',
  then: () => ({ says: 'It is owed from now on.' }),
})

export const keepUnit = action({
  right: 'stock.issue',
  schema: UnitKeepInput,
  run: oldUnitKeep,
  kind: 'deposit.keep',
  then: ({ bin }) => ({ says: `Old unit kept in ${bin}.` }),
})

export const noUnit = action({
  right: 'stock.issue',
  schema: UnitNoneInput,
  run: oldUnitNone,
  kind: 'deposit.none',
  then: ({ lostMinor }) => ({ says: `Kept: there is none.${lostSays(lostMinor)}` }),
})

export const moveUnit = action({
  right: 'stock.transfer',
  schema: UnitMoveInput,
  run: oldUnitMove,
  kind: 'deposit.move',
  then: ({ bin }) => ({ says: `It lies in ${bin} now.` }),
})

export const scrapUnit = action({
  right: 'buying.return',
  schema: UnitScrapInput,
  run: oldUnitScrap,
  kind: 'deposit.scrap',
  then: ({ lostMinor }) => ({ says: `Scrapped.${lostSays(lostMinor)}` }),
})

export const sendBack = action({
  right: 'buying.return',
  schema: ReturnSendInput,
  run: returnSend,
  kind: 'deposit.send',
  then: ({ noteId }) => ({ redirect: paths.returnNote(noteId) }),
})

export const answer = action({
  right: 'buying.return',
  schema: ReturnAnswerForm,
  run: returnAnswer,
  kind: 'deposit.answer',
  then: ({ lostMinor }, { creditedMinor }) => ({
    says: `${creditedMinor > 0 ? `${money(creditedMinor)} credited.` : 'Nothing credited.'}${lostSays(lostMinor)}`,
  }),
})

export const giveUp = action({
  right: 'buying.return',
  schema: DepositGiveUpForm,
  run: depositGiveUp,
  kind: 'deposit.give-up',
  then: ({ lostMinor }, { creditedMinor }) => ({
    says: `${creditedMinor > 0 ? `${money(creditedMinor)} credited.` : 'Nothing credited.'}${lostSays(lostMinor)}`,
  }),
})
