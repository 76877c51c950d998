import { type Rule, rulesParse } from '../rule.ts'
import bearingsAndSeals from './bearings-and-seals.json'
import brakes from './brakes.json'
import cleaning from './cleaning.json'
import cutting from './cutting.json'
import machine from './machine.json'
import protection from './protection.json'
import singleUse from './single-use.json'
import torque from './torque.json'
import treatments from './treatments.json'

/** The rules the workshop starts with, a family a file, checked when they are loaded. */
export const RULES: readonly Rule[] = rulesParse(
  [brakes, cutting, bearingsAndSeals, singleUse, treatments, cleaning, protection, machine, torque].flat(),
)
