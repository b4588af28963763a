/**
 * One connection to a broker: how it is opened, watched, lost and opened again ({@link
 * org.cellherd.mqtt.link.BrokerClient}). Knows no topics. The only package that calls the MQTT
 * client.
 */
@NullMarked
package org.cellherd.mqtt.link;

import org.jspecify.annotations.NullMarked;
