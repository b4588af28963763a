package org.cellherd.app.verb;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.ArrayList;
import java.util.List;
import java.util.logging.Formatter;
import java.util.logging.Handler;
import java.util.logging.Level;
import java.util.logging.LogManager;
import java.util.logging.LogRecord;
import java.util.logging.Logger;
import java.util.logging.StreamHandler;
import org.jspecify.annotations.Nullable;

/**
 * The program's log: standard error, one line a message. Under a service manager each line begins
 * with its priority ({@code <4>} and so on, the convention of syslog levels) and has no time of its
 * own, since the manager notes it.
 */
final class LogLines {

  private static volatile @Nullable RepeatedLines repeated;

  private LogLines() {}

  /**
   * Java empties its loggers at the first signal, beside everything else that ends then. This stays
   * as it is: what a run says while it ends, such as which readings it could not store, nobody can
   * say later.
   */
  public static final class Lasting extends LogManager {
    @Override
    public void reset() {
      // Nothing: see above.
    }
  }

  /** Must be called before anything logs: Java asks once which loggers it is to use. */
  public static void lastToTheEnd() {
    System.setProperty("java.util.logging.manager", Lasting.class.getName());
  }

  /** From now on lines of a kind are counted and summed up: for a program that runs for months. */
  public static void sumUpRepeated() {
    repeated = new RepeatedLines();
  }

  /** Sends the JDK's loggers to standard error. */
  public static void install(boolean verbose) {
    Logger root = Logger.getLogger("");
    for (Handler before : root.getHandlers()) {
      root.removeHandler(before);
    }
    root.setLevel(Level.INFO);
    Handler handler =
        new StreamHandler(System.err, new LineFormatter(System.getenv("JOURNAL_STREAM") != null)) {
          @Override
          public synchronized void publish(LogRecord record) {
            RepeatedLines filter = repeated;
            if (filter == null) {
              super.publish(record);
            } else {
              record.setMessage(getFormatter().formatMessage(record));
              record.setParameters(null);
              filter.take(record).forEach(super::publish);
            }
            flush();
          }
        };
    handler.setLevel(Level.ALL);
    root.addHandler(handler);
    Logger.getLogger("org.cellherd").setLevel(verbose ? Level.FINE : Level.INFO);
    // What goes wrong in them they also throw, and it is told by those who called them.
    for (String library :
        new String[] {
          "org.eclipse.paho",
          "io.moquette",
          "io.netty",
          "org.apache",
          "org.postgresql",
          "org.sqlite"
        }) {
      Logger.getLogger(library).setLevel(Level.OFF);
      QUIET.add(Logger.getLogger(library));
    }
  }

  /** Keeps the quietened loggers from being collected, which would make them loud again. */
  private static final List<Logger> QUIET = new ArrayList<>();

  private static final class LineFormatter extends Formatter {
    private final boolean underManager;

    LineFormatter(boolean underManager) {
      this.underManager = underManager;
    }

    @Override
    public String format(LogRecord record) {
      StringBuilder line = new StringBuilder();
      if (underManager) {
        line.append('<').append(syslogLevel(record.getLevel())).append('>');
      } else {
        line.append(String.format("%1$tF %1$tT ", record.getMillis()));
        if (record.getLevel().intValue() >= Level.WARNING.intValue()) {
          line.append(record.getLevel().intValue() >= Level.SEVERE.intValue() ? "ERROR " : "WARN ");
        }
      }
      line.append(oneLine(formatMessage(record)));
      if (record.getThrown() != null) {
        line.append(underManager ? " | " : System.lineSeparator())
            .append(trace(record.getThrown(), underManager));
      }
      return line.append(System.lineSeparator()).toString();
    }

    /** A board's or broker's text may hold line ends; one message stays one line. */
    private static String oneLine(String message) {
      return message.replace("\r", "\\r").replace("\n", "\\n");
    }

    private static String trace(Throwable thrown, boolean oneLine) {
      StringWriter text = new StringWriter();
      thrown.printStackTrace(new PrintWriter(text, true));
      return oneLine
          ? text.toString().strip().replace(System.lineSeparator(), " ")
          : text.toString().strip();
    }

    private static int syslogLevel(Level level) {
      if (level.intValue() >= Level.SEVERE.intValue()) {
        return 3;
      }
      if (level.intValue() >= Level.WARNING.intValue()) {
        return 4;
      }
      return level.intValue() >= Level.INFO.intValue() ? 6 : 7;
    }
  }
}
