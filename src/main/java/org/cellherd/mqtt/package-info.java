/**
 * States and alerts to a broker: {@link org.cellherd.mqtt.MqttPublisher}. States are retained and
 * the newest wins; events come from the outbox, one at a time and in order, until the broker has
 * acknowledged them. Never waits for a broker on the caller's thread.
 */
@NullMarked
package org.cellherd.mqtt;

import org.jspecify.annotations.NullMarked;
