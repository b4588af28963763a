package org.cellherd.fleet;

/** A PostgreSQL that a test may treat badly. */
public interface CentreUnderTest extends AutoCloseable {

  /** Where it is. */
  CentreAddress address();

  /** Does to it what happens to servers; it works again when this returns. */
  void disturb();

  @Override
  void close();
}
