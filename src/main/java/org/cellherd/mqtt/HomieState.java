package org.cellherd.mqtt;

/** What other threads say of the devices. */
record HomieState(RetainedStates values, HomieLife lives) {}
