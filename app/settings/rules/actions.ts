'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { RuleAddInput, RuleBackInput, RuleChangeInput, RuleSwitchInput } from '@/lib/companion/rule-form.ts'
import { ruleAdd, ruleBack, ruleChange, ruleSwitch } from '@/lib/db/companion-rule.ts'

export const addRule = action({
  right: 'rules.change',
  schema: RuleAddInput,
  run: ruleAdd,
  then: ({ ruleId }) => ({ redirect: paths.rule(ruleId) }),
})

export const changeRule = action({
  right: 'rules.change',
  schema: RuleChangeInput,
  run: ruleChange,
  then: ({ ruleId }) => ({ redirect: paths.rule(ruleId) }),
})

export const switchRule = action({
  right: 'rules.change',
  schema: RuleSwitchInput,
  run: ruleSwitch,
  then: (_, { state }) => ({
    says:
      state === 'off'
        ? 'The rule is off. Open jobs follow the next time something is changed on them.'
        : 'The rule is on again. Open jobs follow the next time something is changed on them.',
  }),
})

export const backToShipped = action({
  right: 'rules.change',
  schema: RuleBackInput,
  run: ruleBack,
  then: () => ({ says: 'The rule is as it is shipped.' }),
})
