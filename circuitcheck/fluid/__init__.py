"""Oil properties as functions of temperature and pressure."""
