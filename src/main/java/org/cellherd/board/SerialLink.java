package org.cellherd.board;

import com.fazecast.jSerialComm.SerialPort;
import com.fazecast.jSerialComm.SerialPortInvalidPortException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;
import org.jspecify.annotations.Nullable;

/**
 * A serial port of this computer, opened by its stable path each time anew. The only class that
 * knows the serial library. One thread.
 */
public final class SerialLink implements Link {
  /** The library waits in steps of this many ms. */
  private static final int LIBRARY_STEP_MS = 100;

  private static final Path SERIAL_LINKS = Path.of("/dev/serial");
  private static final long LOOK_AGAIN_NANOS = 2_000_000L;

  /** As long as a run may take to end. */
  private static final long LEAVE_S = 5;

  private static final System.Logger LOG = System.getLogger(SerialLink.class.getName());

  /** Error numbers of Linux. */
  private static final int EINVAL = 22;

  private static final int EAGAIN = 11;
  private static final int EBUSY = 16;
  private static final int EISDIR = 21;
  private static final int ENOTTY = 25;
  private static final int ENOENT = 2;
  private static final String NO_PORT = "is not a serial port";

  private final String path;
  private final TimeSource time;
  private @Nullable SerialPort port;

  public SerialLink(String path, TimeSource time) {
    this.path = path;
    this.time = time;
  }

  /**
   * The library closes all ports as soon as this program is asked to end, which would look to their
   * owners as if they were unplugged. With this it waits for them, and not for ever.
   */
  public static void keepPortsUntil(CountDownLatch ended) {
    SerialPort.addShutdownHook(new Thread(() -> await(ended), "keep-ports"));
  }

  private static void await(CountDownLatch ended) {
    try {
      if (!ended.await(LEAVE_S, TimeUnit.SECONDS)) {
        LOG.log(System.Logger.Level.WARNING, "serial ports are closed while they are in use");
      }
    } catch (InterruptedException hurry) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public String name() {
    return path;
  }

  @Override
  public boolean isOpen() {
    return port != null;
  }

  @Override
  public int pauseMs() {
    return 20;
  }

  @Override
  public void open(LineSettings line) throws LinkException {
    close();
    requireUsable();
    SerialPort opened;
    try {
      // The library follows a stable link at this moment only, so ask it anew each time.
      opened = SerialPort.getCommPort(path);
    } catch (SerialPortInvalidPortException e) {
      throw new LinkException(Gap.Cause.PORT_MISSING, path + ": " + NO_PORT, e);
    }
    opened.setComPortParameters(
        line.baud(), line.dataBits(), stopCode(line), parityCode(line), false);
    opened.setFlowControl(SerialPort.FLOW_CONTROL_DISABLED);
    opened.setComPortTimeouts(SerialPort.TIMEOUT_READ_SEMI_BLOCKING, LIBRARY_STEP_MS, 0);
    if (!opened.openPort()) {
      throw notOpened(opened.getLastErrorCode(), line);
    }
    port = opened;
    Optional<String> other = PortHolder.of(Path.of(path));
    if (other.isPresent()) {
      close();
      throw held(other);
    }
  }

  /** The ports of this computer, each by the name that stays when it is plugged anew. */
  public static List<Port> list() {
    SerialPort[] ports = SerialPort.getCommPorts();
    StableNames names = new StableNames(SERIAL_LINKS);
    List<Port> list = new ArrayList<>();
    for (SerialPort each : ports) {
      boolean hasTwin =
          Arrays.stream(ports).anyMatch(o -> o != each && selfName(o).equals(selfName(each)));
      String device = each.getSystemPortPath();
      list.add(new Port(names.of(Path.of(device), hasTwin), each.getPortDescription()));
    }
    list.sort(Comparator.comparing(Port::stable));
    return list;
  }

  private static String selfName(SerialPort each) {
    return each.getVendorID() + ":" + each.getProductID() + ":" + each.getSerialNumber();
  }

  private LinkException held(Optional<String> holder) {
    return new LinkException(
        Gap.Cause.PORT_REFUSED,
        path
            + ": held by "
            + holder.orElse("another program")
            + (holder.orElse("").startsWith(PortHolder.OURS + " ")
                ? ", which watches this board; \"cellherd read\" without --link shows its newest"
                    + " reading"
                : "; stop that program or use another port"));
  }

  private void requireUsable() throws LinkException {
    Path file = Path.of(path);
    if (!Files.exists(file)) {
      throw new LinkException(
          Gap.Cause.PORT_MISSING,
          path + ": not there (unplugged?); " + new StableNames(SERIAL_LINKS).present());
    }
    if (!Files.isReadable(file) || !Files.isWritable(file)) {
      throw refused("no permission; add the user to the group dialout and log in again");
    }
  }

  private LinkException refused(String why) {
    return new LinkException(Gap.Cause.PORT_REFUSED, path + ": " + why);
  }

  private LinkException notOpened(int error, LineSettings line) {
    return switch (error) {
      case EAGAIN, EBUSY -> held(PortHolder.of(Path.of(path)));
      // The library's answer when this process has the port open already.
      case ENOENT -> held(Optional.of("this program itself, or it vanished just now"));
      case EINVAL ->
          refused(
              "the adapter refuses "
                  + line.baud()
                  + " baud with parity "
                  + line.parity().name().toLowerCase(Locale.ROOT)
                  + "; check baud and parity, or use another adapter");
      case EISDIR, ENOTTY -> refused(NO_PORT);
      default ->
          new LinkException(
              Gap.Cause.PORT_MISSING, path + ": cannot be opened (error " + error + ")");
    };
  }

  private static int stopCode(LineSettings line) {
    return line.stopBits() == 2 ? SerialPort.TWO_STOP_BITS : SerialPort.ONE_STOP_BIT;
  }

  private static int parityCode(LineSettings line) {
    return switch (line.parity()) {
      case NONE -> SerialPort.NO_PARITY;
      case ODD -> SerialPort.ODD_PARITY;
      case EVEN -> SerialPort.EVEN_PARITY;
    };
  }

  private SerialPort opened() throws LinkException {
    SerialPort now = port;
    if (now == null) {
      throw new LinkException(Gap.Cause.PORT_MISSING, path + ": not open");
    }
    return now;
  }

  @Override
  public void write(byte[] bytes) throws LinkException {
    SerialPort to = opened();
    int written = to.writeBytes(bytes, bytes.length);
    // A pulled cable shows as a short write, not as an error.
    if (written != bytes.length) {
      throw lost(
          to, "took " + Math.max(0, written) + " of " + Spoken.counted(bytes.length, "byte"));
    }
  }

  @Override
  public int read(byte[] buffer, int timeoutMs) throws LinkException {
    SerialPort from = opened();
    long deadline = time.monotonicNanos() + timeoutMs * 1_000_000L;
    while (true) {
      long left = deadline - time.monotonicNanos();
      int there = from.bytesAvailable();
      if (there < 0) {
        throw lost(from, "is gone");
      }
      if (there == 0 && left <= 0) {
        return 0;
      }
      if (there > 0 || left >= LIBRARY_STEP_MS * 1_000_000L) {
        int n = from.readBytes(buffer, there > 0 ? Math.min(there, buffer.length) : buffer.length);
        if (n < 0) {
          throw lost(from, "is gone");
        }
        if (n > 0) {
          return n;
        }
      } else {
        pause(Math.min(left, LOOK_AGAIN_NANOS));
      }
    }
  }

  private void pause(long nanos) throws LinkException {
    try {
      time.sleepNanos(nanos);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      close();
      throw new LinkException(Gap.Cause.NOT_RUNNING, path + ": interrupted", e);
    }
  }

  private LinkException lost(SerialPort was, String what) {
    int error = was.getLastErrorCode();
    close();
    return new LinkException(
        Gap.Cause.PORT_MISSING, path + ": " + what + " (error " + error + "), unplugged?");
  }

  @Override
  public void discardInput() throws LinkException {
    if (!opened().flushIOBuffers()) {
      throw lost(opened(), "cannot be emptied");
    }
  }

  @Override
  public void close() {
    SerialPort was = port;
    port = null;
    if (was != null && !was.closePort()) {
      System.getLogger(SerialLink.class.getName())
          .log(System.Logger.Level.DEBUG, "{0} did not close", path);
    }
  }

  /**
   * A serial port as a person may choose it.
   *
   * @param stable path that stays the same when adapters are plugged anew; today's, such as {@code
   *     /dev/ttyUSB0}, where there is none
   * @param description what the adapter says of itself, may be empty
   */
  public record Port(String stable, String description) {}
}
