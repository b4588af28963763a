package org.cellherd.app.campaign.fault;

/** Where a fault strikes. */
public enum Family {
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
