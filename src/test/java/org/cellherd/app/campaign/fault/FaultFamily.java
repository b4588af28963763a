package org.cellherd.app.campaign.fault;

/** Where a fault strikes. */
public enum FaultFamily {
  LINE,
  SENSOR,
  CLOCK,
  PROCESS,
  DISK,
  FILE,
  BROKER,
  PAGE,
  INPUT
}
