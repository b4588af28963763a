package org.cellherd.protocol.bringup;

/** What an emulated board answers to what; arrays are not to be changed. */
final class EmulatedMessage {
  private final byte[] request;
  private final byte[] answer;
  private final byte[] core;
  private final boolean isWhole;

  EmulatedMessage(byte[] request, byte[] answer) {
    this(request, answer, answer);
  }

  /** {@code core} is what a search is to cut out: of a CAN frame its data. */
  EmulatedMessage(byte[] request, byte[] answer, byte[] core) {
    this(request, answer, core, true);
  }

  private EmulatedMessage(byte[] request, byte[] answer, byte[] core, boolean isWhole) {
    this.request = request;
    this.answer = answer;
    this.core = core;
    this.isWhole = isWhole;
  }

  byte[] request() {
    return request;
  }

  byte[] answer() {
    return answer;
  }

  byte[] core() {
    return core;
  }

  /** True when it came unchanged. */
  boolean isWhole() {
    return isWhole;
  }

  /** The same question, and what came of its answer over a bad line. */
  EmulatedMessage broken(byte[] came) {
    return new EmulatedMessage(request, came, core, came == answer);
  }
}
