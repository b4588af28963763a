package org.cellherd.mqtt;

/**
 * How publishing stands.
 *
 * @param broker where
 * @param connected whether a connection stands
 * @param sinceMs since when it stands or is missing, ms UTC
 * @param trouble why it is missing; empty while it stands
 * @param eventsInMemory events not yet acknowledged, as far as they are in memory
 * @param eventsDelivered acknowledged events of this run
 * @param readingsSkipped readings that were due and gave way to newer ones
 */
public record MqttStatus(
    String broker,
    boolean connected,
    long sinceMs,
    String trouble,
    int eventsInMemory,
    long eventsDelivered,
    long readingsSkipped) {}
