package org.cellherd.mqtt.trial;

import java.io.IOException;
import org.cellherd.mqtt.link.BrokerUrl;

/**
 * A small broker inside this process, for trying things out: it keeps nothing on disk and listens
 * on loopback only. It is on the class path of the build, and left out of the installed program.
 */
public final class InProcessBroker implements AutoCloseable {

  private static final String PROBE = "io.moquette.broker.Server";

  private final MoquetteBroker broker;

  private InProcessBroker(MoquetteBroker broker) {
    this.broker = broker;
  }

  /** True when a broker can be started here. */
  public static boolean isPresent() {
    try {
      Class.forName(PROBE, false, InProcessBroker.class.getClassLoader());
      return true;
    } catch (ClassNotFoundException e) {
      return false;
    }
  }

  /**
   * Starts a broker on a free port of loopback. Close it in a {@code finally}.
   *
   * @throws IllegalStateException when there is none on the class path
   * @throws IOException when it cannot listen
   */
  public static InProcessBroker start() throws IOException {
    if (!isPresent()) {
      throw new IllegalStateException(
          "this program was built without a broker inside: name one, such as"
              + " mqtt://127.0.0.1:1883");
    }
    return new InProcessBroker(MoquetteBroker.start());
  }

  public BrokerUrl url() {
    return new BrokerUrl(false, "127.0.0.1", broker.port());
  }

  /** Ends it and all its connections, in the background: the library takes seconds to. */
  @Override
  public void close() {
    new Thread(broker::stop, "broker-end").start();
  }
}
