-- CreateTable
CREATE TABLE "OrderPlanRun" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "state" TEXT NOT NULL,
    "startedAt" DATETIME NOT NULL,
    "endedAt" DATETIME,
    "personId" TEXT NOT NULL,
    "seconds" INTEGER NOT NULL,
    "pid" INTEGER,
    "beatAt" DATETIME NOT NULL,
    "step" TEXT NOT NULL,
    "words" TEXT,
    "digest" TEXT,
    "plan" TEXT,
    "orderIds" TEXT,
    "orderedAt" DATETIME
);

-- CreateTable
CREATE TABLE "OrderPlanChoice" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "kind" TEXT NOT NULL,
    "supplierId" INTEGER,
    "partId" INTEGER,
    "amount" INTEGER,
    "personId" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    "undoneById" TEXT,
    "undoneAt" DATETIME
);

-- CreateIndex
CREATE INDEX "OrderPlanRun_state_idx" ON "OrderPlanRun"("state");

-- CreateIndex
CREATE INDEX "OrderPlanChoice_undoneAt_idx" ON "OrderPlanChoice"("undoneAt");
