package org.cellherd.mqtt;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import java.util.zip.CRC32C;
import org.cellherd.mqtt.link.Publication;

/**
 * Keeps account of the topics under which a broker holds something of ours. A later run empties
 * those that it no longer fills, and no others: what another program put under the same root is not
 * ours. Any thread; writes a small file, and only when a topic is new or a leftover is gone.
 */
final class Keeping {

  private static final System.Logger LOG = System.getLogger("org.cellherd.mqtt");

  private final BrokerMemory memory;
  private final Set<String> topics;
  private final Set<String> leftovers = new HashSet<>();
  private long version;
  private String digest;
  private boolean changed;
  private boolean failed;

  /** Goes on from what the memory knows. */
  public Keeping(BrokerMemory memory) {
    KeptAtBroker kept = memory.recall();
    this.memory = memory;
    this.topics = new LinkedHashSet<>(kept.topics());
    this.version = kept.descriptionVersion();
    this.digest = kept.descriptionDigest();
  }

  /**
   * What earlier runs left and this one does not fill: to be emptied, in this order.
   *
   * @param untold topics that they may have filled though the disk took no note of it
   */
  public synchronized List<String> leftovers(Set<String> filled, Set<String> untold) {
    topics.stream().filter(topic -> !filled.contains(topic)).forEach(leftovers::add);
    Set<String> all = new LinkedHashSet<>(topics);
    all.retainAll(leftovers);
    all.addAll(untold);
    return List.copyOf(all);
  }

  /** A message goes out: the broker will hold it, or no longer. */
  public synchronized void sent(Publication message) {
    if (message.retained() && !message.text().isEmpty()) {
      leftovers.remove(message.topic());
      changed |= topics.add(message.topic());
    }
  }

  /** The broker has taken a message. */
  public synchronized void acknowledged(Publication message) {
    if (message.text().isEmpty() && leftovers.remove(message.topic())) {
      changed |= topics.remove(message.topic());
    }
  }

  /**
   * The version of these descriptions: the same as before while they are the same, else higher,
   * also when the clock went back.
   *
   * @param nowS the clock's seconds, taken where they are higher
   */
  public synchronized long version(List<String> descriptions, long nowS) {
    CRC32C crc = new CRC32C();
    descriptions.forEach(text -> crc.update(text.getBytes(StandardCharsets.UTF_8)));
    String now = Long.toHexString(crc.getValue());
    if (version == 0 || !now.equals(digest)) {
      version = Math.max(version + 1, nowS);
      digest = now;
      changed = true;
    }
    return version;
  }

  /** Writes down what has changed; a failure is told once, and tried again. */
  public synchronized void save() {
    if (!changed) {
      return;
    }
    try {
      memory.remember(new KeptAtBroker(topics, version, digest));
      changed = false;
      failed = false;
    } catch (IOException cannot) {
      if (!failed) {
        LOG.log(
            System.Logger.Level.WARNING,
            "what the broker keeps cannot be remembered (" + cannot.getMessage() + ")");
      }
      failed = true;
    }
  }
}
