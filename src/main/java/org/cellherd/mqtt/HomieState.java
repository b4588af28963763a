package org.cellherd.mqtt;

import org.cellherd.mqtt.link.RetainedStates;

/** What other threads say of the devices. */
record HomieState(RetainedStates values, HomieLife lives) {}
