-- CreateTable
CREATE TABLE "CompanionRule" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "ruleId" TEXT NOT NULL,
    "act" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "content" TEXT,
    "reason" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    "setById" TEXT NOT NULL,
    "setByName" TEXT NOT NULL
);

-- CreateIndex
CREATE INDEX "CompanionRule_ruleId_id_idx" ON "CompanionRule"("ruleId", "id");

-- What was decided about a rule is never rewritten: a later step says otherwise.
CREATE TRIGGER IF NOT EXISTS companion_rule_never_updated BEFORE UPDATE ON "CompanionRule" BEGIN
  SELECT RAISE(ABORT, 'companion-rule/append-only: a step with a rule is never changed, add another one');
END;

CREATE TRIGGER IF NOT EXISTS companion_rule_never_deleted BEFORE DELETE ON "CompanionRule" BEGIN
  SELECT RAISE(ABORT, 'companion-rule/append-only: a step with a rule is never deleted, switch the rule off');
END;
