package org.cellherd.mqtt;

import java.util.Collections;
import java.util.LinkedHashSet;
import java.util.Set;

/**
 * What the next run has to know of the broker.
 *
 * @param topics retained by us, in the order in which they came
 * @param descriptionVersion of the Homie devices, 0 when there was none
 * @param descriptionDigest of their descriptions, "" when there was none
 */
record KeptAtBroker(Set<String> topics, long descriptionVersion, String descriptionDigest) {

  /** Of a first run. */
  public static final KeptAtBroker NOTHING = new KeptAtBroker(Set.of(), 0, "");

  public KeptAtBroker {
    topics = Collections.unmodifiableSet(new LinkedHashSet<>(topics));
  }
}
