/**
 * States and alerts to a broker: {@link org.cellherd.mqtt.MqttPublisher}. States are retained and
 * the newest wins; events come from the outbox, one at a time and in order, until the broker has
 * acknowledged them. Never waits for a broker on the caller's thread.
 *
 * <p>Beside it, on a connection of its own, since one connection has one will: the site as devices
 * of the Homie convention, version 5 (homieiot/convention, branch develop, 17 October 2024). {@link
 * org.cellherd.mqtt.Announce} tells a dashboard where to find what, by the user's own templates;
 * {@link org.cellherd.mqtt.Keeping} remembers beyond the run what brokers keep retained for this
 * site: only what we put there ourselves is ever emptied.
 */
@NullMarked
package org.cellherd.mqtt;

import org.jspecify.annotations.NullMarked;
