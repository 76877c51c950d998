-- CreateTable
CREATE TABLE "WinterPlan" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "name" TEXT NOT NULL,
    "fromOn" TEXT NOT NULL,
    "untilOn" TEXT NOT NULL,
    "machinesAWeek" INTEGER NOT NULL,
    "workdays" TEXT NOT NULL,
    "shut" TEXT NOT NULL DEFAULT '[]',
    "budgetMinor" INTEGER,
    "ordersMade" INTEGER NOT NULL DEFAULT 0,
    "createdAt" DATETIME NOT NULL,
    "createdById" TEXT NOT NULL,
    "endedAt" DATETIME
);

-- CreateTable
CREATE TABLE "WinterMachine" (
    "planId" INTEGER NOT NULL,
    "machineId" INTEGER NOT NULL,
    "comes" TEXT NOT NULL DEFAULT 'due',
    "weekOn" TEXT,

    PRIMARY KEY ("planId", "machineId"),
    CONSTRAINT "WinterMachine_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "WinterMachine_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "WinterQuantity" (
    "planId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "setById" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,

    PRIMARY KEY ("planId", "partId"),
    CONSTRAINT "WinterQuantity_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "WinterQuantity_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "WinterOrder" (
    "planId" INTEGER NOT NULL,
    "orderId" INTEGER NOT NULL,

    PRIMARY KEY ("planId", "orderId"),
    CONSTRAINT "WinterOrder_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "WinterOrder_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "PurchaseOrder" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "WinterPlan_endedAt_idx" ON "WinterPlan"("endedAt");

-- CreateIndex
CREATE INDEX "WinterMachine_machineId_idx" ON "WinterMachine"("machineId");

-- CreateIndex
CREATE INDEX "WinterQuantity_partId_idx" ON "WinterQuantity"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "WinterOrder_orderId_key" ON "WinterOrder"("orderId");
