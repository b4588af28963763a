package org.cellherd.mqtt;

/** Where other threads put what is to be published. */
record Handover(RetainedStates states, ReadingSlots readings, EventLine events, Keeping keeping) {}
