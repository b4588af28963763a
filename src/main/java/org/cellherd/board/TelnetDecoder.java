package org.cellherd.board;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.Deque;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/**
 * Parts a Telnet stream into data and commands; takes any bytes. One thread.
 *
 * <pre>
 * FF FF                     one data byte FF
 * FF (WILL|WONT|DO|DONT) n  option
 * FF FA n ... FF F0         sub-negotiation, FF doubled inside
 * FF x                      any other command, dropped
 * </pre>
 */
final class TelnetDecoder {
  static final int IAC = 0xFF;
  static final int SB = 0xFA;
  static final int SE = 0xF0;
  static final int WILL = 0xFB;
  static final int WONT = 0xFC;
  static final int DO = 0xFD;
  static final int DONT = 0xFE;

  private static final int LONGEST_SUB = 64;
  private static final int MOST_COMMANDS = 256;

  private enum State {
    DATA,
    COMMAND,
    OPTION,
    SUB,
    SUB_COMMAND
  }

  private final Deque<Command> commands = new ArrayDeque<>();
  private final byte[] sub = new byte[LONGEST_SUB];
  private State state = State.DATA;
  private int verb;
  private int subLength;

  /**
   * A command of the other side.
   *
   * @param verb WILL, WONT, DO, DONT, or SB for a sub-negotiation
   * @param option the option it is about
   * @param value what follows the option in a sub-negotiation, as hex digits; else empty
   */
  record Command(int verb, int option, String value) {}

  /** Takes bytes in place: the data bytes are moved to the front of the buffer and counted. */
  int decode(byte[] buffer, int length) {
    int data = 0;
    for (int i = 0; i < length; i++) {
      int b = buffer[i] & 0xFF;
      if (state == State.DATA) {
        if (b == IAC) {
          state = State.COMMAND;
        } else {
          buffer[data++] = (byte) b;
        }
      } else if (state == State.COMMAND && b == IAC) {
        buffer[data++] = (byte) IAC;
        state = State.DATA;
      } else {
        command(b);
      }
    }
    return data;
  }

  private void command(int b) {
    switch (state) {
      case COMMAND -> beginCommand(b);
      case OPTION -> {
        add(new Command(verb, b, ""));
        state = State.DATA;
      }
      case SUB -> {
        if (b == IAC) {
          state = State.SUB_COMMAND;
        } else {
          keep(b);
        }
      }
      default -> endSub(b);
    }
  }

  private void beginCommand(int b) {
    if (b == SB) {
      subLength = 0;
      state = State.SUB;
    } else if (b >= WILL) {
      verb = b;
      state = State.OPTION;
    } else {
      state = State.DATA;
    }
  }

  private void endSub(int b) {
    if (b == IAC) {
      keep(b);
      state = State.SUB;
      return;
    }
    if (b == SE && subLength > 0 && subLength <= LONGEST_SUB) {
      byte[] value = Arrays.copyOfRange(sub, 1, subLength);
      add(new Command(SB, sub[0] & 0xFF, HexFormat.of().formatHex(value)));
    }
    state = State.DATA;
  }

  private void keep(int b) {
    if (subLength < LONGEST_SUB) {
      sub[subLength] = (byte) b;
    }
    subLength = Math.min(subLength + 1, LONGEST_SUB + 1);
  }

  private void add(Command command) {
    if (commands.size() < MOST_COMMANDS) {
      commands.add(command);
    }
  }

  /** The next command, or null when all were taken. */
  @Nullable Command nextCommand() {
    return commands.poll();
  }

  /** Data as it goes over the wire: FF doubled. */
  static byte[] escape(byte[] data) {
    byte[] out = new byte[data.length * 2];
    int n = 0;
    for (byte b : data) {
      out[n++] = b;
      if ((b & 0xFF) == IAC) {
        out[n++] = b;
      }
    }
    return Arrays.copyOf(out, n);
  }
}
