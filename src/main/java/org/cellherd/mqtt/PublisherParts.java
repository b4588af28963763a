package org.cellherd.mqtt;

import java.util.List;
import java.util.OptionalLong;
import java.util.function.Supplier;
import org.cellherd.alert.Acknowledger;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.TimeSource;

/**
 * What a publisher works with.
 *
 * @param packs every pack of the site
 * @param outbox events that wait
 * @param acknowledger takes acknowledgements that come in
 * @param memory what brokers keep for us, remembered from run to run
 * @param time the computer's own clock, also when the readings come from a faster one
 * @param diskFreeMb free space where the log lies; empty when it cannot be known
 * @param listener hears how it goes
 */
public record PublisherParts(
    List<PackPlan> packs,
    Outbox outbox,
    Acknowledger acknowledger,
    BrokerMemory memory,
    TimeSource time,
    Supplier<OptionalLong> diskFreeMb,
    MqttListener listener) {
  public PublisherParts {
    packs = List.copyOf(packs);
  }
}
